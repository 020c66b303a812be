import type { JobSummary } from '../../core/contract/verbs-jobs.ts';
import { jobInvariantProblem } from '../../core/job/job-invariants.ts';
import type { Job } from '../../core/job/schema.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Result, resultProblem } from '../../core/measure/result.ts';
import type { Archive, JobSave } from '../archive/port.ts';

/** Saves a job that was opened at `baseRevision`. One that breaks rules is refused: it could not be opened again. */
export async function saveJob(
  archive: Archive,
  job: Job,
  now: string,
  baseRevision: number,
): Promise<Result<JobSummary>> {
  return await save(archive, job, { baseRevision, now });
}

/** Saves a job from a job file; what a window has saved since stays, unless it is to be replaced. */
export async function saveJobFromFile(
  archive: Archive,
  job: Job,
  now: string,
  fromFile: 'keep' | 'replace' = 'keep',
): Promise<Result<JobSummary>> {
  return await save(archive, job, { fromFile, now });
}

async function save(
  archive: Archive,
  job: Job,
  how: Omit<JobSave, 'panelLabels'>,
): Promise<Result<JobSummary>> {
  const broken = jobInvariantProblem(job);
  if (broken) return resultProblem(broken);
  const panelLabels = jobLayout(job).flatMap(({ panels }) => panels.map(({ label }) => label));
  return await archive.jobs.save(job, { panelLabels, ...how });
}

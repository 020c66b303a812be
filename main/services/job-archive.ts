import type { JobSummary } from '../../core/contract/verbs-jobs.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import type { Problem } from '../../core/measure/result.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Archive, ArchiveProblem } from '../archive/port.ts';
import { fileProblem } from '../files/file-problem.ts';

/** A job as the archive has it. */
export async function storedJob(
  archive: Archive,
  id: string,
): Promise<Result<{ job: Job; revision: number }>> {
  const stored = await archive.jobs.find(id);
  if (!stored.ok) return stored;
  const job = jobFromJson(stored.value.document);
  return job.ok ? resultOk({ job: job.value, revision: stored.value.revision }) : job;
}

/** Keeps a job and its artwork, whatever revision the archive has: for commands, which name no revision. */
export async function jobArchived(
  archive: Archive,
  job: Job,
  layouts: readonly SideLayout[],
  artworkPath: string | undefined,
  now: string,
): Promise<Result<JobSummary, ArchiveProblem | Problem>> {
  try {
    if (artworkPath !== undefined) await archive.vault.add(artworkPath);
  } catch (error) {
    const problem = fileProblem(error, archive.vault.folder);
    if (problem) return resultProblem(problem);
    throw error;
  }
  return await jobSaved(archive, job, layouts, undefined, now);
}

/** Saves a job that was opened at `baseRevision`, or whatever revision the archive has. */
export async function jobSaved(
  archive: Archive,
  job: Job,
  layouts: readonly SideLayout[],
  baseRevision: number | undefined,
  now: string,
): Promise<Result<JobSummary, ArchiveProblem>> {
  return await archive.jobs.save(job, {
    panelLabels: layouts.flatMap(({ panels }) => panels.map(({ label }) => label)),
    baseRevision,
    now,
  });
}

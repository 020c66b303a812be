import type { JobSummary } from '../../core/contract/verbs-jobs.ts';
import type { Job } from '../../core/job/schema.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import type { Result } from '../../core/measure/result.ts';
import type { Archive, ArchiveProblem } from '../archive/port.ts';

/** Saves a job that was opened at `baseRevision`; absent: whatever revision the archive has. */
export async function saveJob(
  archive: Archive,
  job: Job,
  now: string,
  baseRevision?: number,
): Promise<Result<JobSummary, ArchiveProblem>> {
  const panelLabels = jobLayout(job).flatMap(({ panels }) => panels.map(({ label }) => label));
  return await archive.jobs.save(job, { panelLabels, baseRevision, now });
}

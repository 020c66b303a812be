import { jobFromJson, jobToJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import type { Problem } from '../../core/measure/result.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Archive, JobSummary } from '../archive/archive.ts';
import type { ArchiveProblem } from '../archive/database.ts';
import { fileProblem } from '../files/file-problem.ts';

/** A job as the archive has it. */
export function storedJob(archive: Archive, id: string): Result<{ job: Job; revision: number }> {
  const stored = archive.job(id);
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
    if (artworkPath !== undefined) await archive.vault.addFile(artworkPath);
  } catch (error) {
    const problem = fileProblem(error, archive.vault.folder);
    if (problem) return resultProblem(problem);
    throw error;
  }
  const current = archive.job(job.id);
  return jobSaved(archive, job, layouts, current.ok ? current.value.revision : 0, now);
}

/** Saves a job that was opened at `baseRevision`. */
export function jobSaved(
  archive: Archive,
  job: Job,
  layouts: readonly SideLayout[],
  baseRevision: number,
  now: string,
): Result<JobSummary, ArchiveProblem> {
  return archive.saveJob(job, {
    document: jobToJson(job),
    panelLabels: layouts.flatMap(({ panels }) => panels.map(({ label }) => label)),
    baseRevision,
    now,
  });
}

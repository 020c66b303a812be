import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';

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

export async function storedJobs(archive: Archive, ids: readonly string[]): Promise<Result<Job[]>> {
  const jobs: Job[] = [];
  for (const id of ids) {
    const stored = await storedJob(archive, id);
    if (!stored.ok) return stored;
    jobs.push(stored.value.job);
  }
  return resultOk(jobs);
}

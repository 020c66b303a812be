import type { JobSummary } from '../../core/contract/verbs-jobs.ts';
import { type Result, resultProblem } from '../../core/measure/result.ts';
import type { ActParts } from './service-parts.ts';

/** Keeps the day on which the panels of a job were installed, `2026-11-27`; without one, it is removed. */
export async function keepInstalled(
  { archive, now }: Pick<ActParts, 'archive' | 'now'>,
  jobId: string,
  on: string | undefined,
): Promise<Result<JobSummary>> {
  // The day may have begun already where the shop is, but nowhere the day after it.
  const latest = new Date(Date.parse(now()) + 14 * 3_600_000).toISOString().slice(0, 10);
  if (on === undefined || on <= latest) return await archive.jobs.keepInstalled(jobId, on);
  return resultProblem({
    code: 'installed-later',
    message: `${on} has not come yet, so nothing was installed then.`,
    remedy: 'Enter the day on which the last panel was installed.',
  });
}

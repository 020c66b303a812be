import { jobSet, layoutReplace } from '../job/edits/edits.ts';
import type { Job } from '../job/schema.ts';
import type { Problem, Result } from '../measure/result.ts';
import type { PlanOffer } from './plan-answer.ts';

/**
 * The job with a plan's layout on a side. A plan made for another film than the one in the printer brings its film
 * with it: on the old one its panels would be too wide, or waste what they were laid out to save.
 */
export function planTaken(
  job: Job,
  sideId: string,
  { layout, rollWidthMm }: Pick<PlanOffer, 'layout' | 'rollWidthMm'>,
): Result<Job, Problem> {
  const replaced = layoutReplace(job, { sideId, layout });
  if (!replaced.ok || rollWidthMm === job.printer.rollWidthMm) return replaced;
  return jobSet(replaced.value, { change: { printer: { ...job.printer, rollWidthMm } } });
}

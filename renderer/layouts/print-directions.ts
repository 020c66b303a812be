import { jobOnFilm, jobWithPrinter, sideFilmId } from '../../core/job/job-films.ts';
import { jobProductionSettings } from '../../core/job/job-production-settings.ts';
import type { Job, Side } from '../../core/job/schema.ts';
import { sideLayout } from '../../core/layout/side-layout.ts';
import { sidesPrintedBothWays } from '../../core/production/job-rolls.ts';
import type { PlanOffer } from '../../core/seams/plan-answer.ts';

/** Whether panels of a side in this layout print in two directions, of which production will warn. */
export function isPrintedBothWays(
  job: Job,
  side: Side,
  { layout, rollWidthMm }: Pick<PlanOffer, 'layout' | 'rollWidthMm'>,
): boolean {
  const filmId = sideFilmId(side);
  const printed = jobOnFilm(jobWithPrinter(job, filmId, { rollWidthMm }), filmId);
  const laid = sideLayout(printed, { ...side, layout });
  return sidesPrintedBothWays(printed, [laid], jobProductionSettings(printed)).length > 0;
}

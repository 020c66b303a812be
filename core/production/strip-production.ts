import type { Job } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { type ColorStrip, colorStripLabel } from '../output/color-strip.ts';
import type { SearchLook } from '../rolls/assignment-search.ts';
import { rollPrintWidth } from '../rolls/roll-lengths.ts';
import type { PackItem } from '../shop/rolls.ts';
import type { MeasuredCoverage } from './job-coverage.ts';
import { filmProductions, type JobProduction, jobProduction } from './job-production.ts';

/** The strip among the items of a plan. */
export const colorStripItemId = (job: Job): string => `${job.id}/color-strip`;

/**
 * The production of a reprint whose color strip is printed first: at the start of the roll that its panel is printed on,
 * the same way round as the panel, with nothing beside it, so that it can be cut off before the rest is printed.
 */
export function productionWithStrip(
  job: Job,
  layouts: readonly SideLayout[],
  strip: ColorStrip,
  measured?: MeasuredCoverage,
  look?: SearchLook,
): JobProduction {
  const alone = jobProduction(job, layouts, measured, look);
  const { filmId } = strip.panel;
  const onFilm = filmProductions(alone).find((each) => each.filmId === filmId) ?? alone;
  const place = onFilm.plan.placements.find(({ panelId }) => panelId === `${job.id}/${strip.panel.id}`);
  const roll = place && onFilm.rolls.find(({ id }) => id === place.rollId);
  if (!place || !roll) return alone;
  const across = rollPrintWidth(roll);
  const { turned } = place;
  const size = turned
    ? { widthMm: strip.film.width, lengthMm: across }
    : { widthMm: across, lengthMm: strip.film.height };
  const item: PackItem = {
    panelId: colorStripItemId(job),
    sideId: colorStripItemId(job),
    label: colorStripLabel(strip),
    ...size,
    mayTurn: turned,
    installOrder: 1,
    locked: { rollId: roll.id, xMm: roll.leftMarginMm, yMm: roll.leadInMm, turned },
  };
  return jobProduction(job, layouts, measured, look, { filmId, items: [item] });
}

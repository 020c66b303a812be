/** The film and laminate that an output takes, roll by roll: what is planned to go off the shelf when it is printed. */
import { z } from 'zod';
import { jobOnFilm } from '../job/job-films.ts';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import type { Job } from '../job/schema.ts';
import { jobLayout } from '../layout/side-layout.ts';
import { foundIn, valueAt } from '../measure/present.ts';
import { listSchema, mmSchema } from '../measure/schemas.ts';
import { colorStrip } from '../output/color-strip.ts';
import type { ManifestPanel } from '../output/manifest.ts';
import { layoutsAsWritten, layoutsOfPanels } from '../output/reprint-layouts.ts';
import type { SearchLook } from '../rolls/assignment-search.ts';
import type { FilmProduction } from './film-production.ts';
import { filmProductions, jobProduction } from './job-production.ts';
import { filmName } from './shared-film.ts';
import { colorStripItemId, productionWithStrip } from './strip-production.ts';

export const OutputRoll = z.strictObject({
  /** What the nesting calls it. */
  label: z.string(),
  /** Of the shelf, where it was taken from there. */
  stockRollId: z.string().optional(),
  film: z.string(),
  widthMm: mmSchema,
  /** Off the roll, lead-in and tail included. */
  lengthMm: mmSchema,
  panelLabels: listSchema(z.string()),
  /** Absent where the job is not laminated. */
  laminate: z
    .strictObject({
      name: z.string(),
      /** What was printed, and what is lost on threading it. */
      lengthMm: mmSchema,
      stockRollId: z.string().optional(),
    })
    .optional(),
});
export type OutputRoll = z.infer<typeof OutputRoll>;

export const OutputRolls = z.strictObject({
  rolls: listSchema(OutputRoll),
  /** Panels that no roll of the job takes. */
  unplaced: listSchema(z.string()),
});
export type OutputRolls = z.infer<typeof OutputRolls>;

/**
 * `panels`: those of the output, as its manifest has them. Nested as its ticket is; `hasColorStrip`: with the color strip
 * that is printed before them.
 */
export function outputRolls(
  job: Job,
  panels: readonly ManifestPanel[],
  { hasColorStrip = false, look }: { readonly hasColorStrip?: boolean; readonly look?: SearchLook } = {},
): OutputRolls {
  const panelIds = panels.map(({ panelId }) => panelId);
  const written = layoutsAsWritten(jobLayout(job), panels);
  const layouts = layoutsOfPanels(written, panelIds);
  const strip = hasColorStrip ? colorStrip(job, written, new Set(panelIds)) : undefined;
  const production = strip
    ? productionWithStrip(job, layouts, strip, undefined, look)
    : jobProduction(job, layouts, undefined, look);
  const films = filmProductions(production).map((made) => filmRolls(jobOnFilm(job, made.filmId), made));
  return {
    rolls: films.flatMap(({ rolls }) => rolls),
    unplaced: films.flatMap(({ unplaced }) => unplaced),
  };
}

function filmRolls(job: Job, { plan, rolls, items }: FilmProduction): OutputRolls {
  const { laminate, laminateRolls, figures } = jobProductionSettings(job);
  const labelOf = new Map(items.map(({ panelId, label }) => [panelId, label]));
  const laminateName = laminate?.name ?? job.laminate?.name;
  return {
    rolls: plan.uses.flatMap(({ rollId, usedLengthMm, bands }) => {
      if (usedLengthMm === 0) return [];
      const roll = foundIn(rolls, ({ id }) => id === rollId);
      const [laminateRoll] = laminateRolls ?? [];
      return [
        {
          label: roll.label,
          ...(roll.onShelf && { stockRollId: roll.onShelf.rollId }),
          film: filmName(job),
          widthMm: roll.widthMm,
          lengthMm: usedLengthMm,
          panelLabels: bands.flatMap((band) =>
            band.panels.flatMap(({ item }) => (item.panelId === colorStripItemId(job) ? [] : [item.label])),
          ),
          ...(laminateName !== undefined && {
            laminate: {
              name: laminateName,
              lengthMm: usedLengthMm - roll.leadInMm - roll.tailMm + figures.laminateLossMm,
              ...(laminateRoll && { stockRollId: laminateRoll.onShelf.rollId }),
            },
          }),
        },
      ];
    }),
    unplaced: plan.unplacedPanelIds.map((panelId) => valueAt(labelOf, panelId)),
  };
}

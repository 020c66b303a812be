/** The film that panels of a past output need when they are printed again. */
import { z } from 'zod';
import type { Job } from '../job/schema.ts';
import { jobLayout } from '../layout/side-layout.ts';
import { mmSchema } from '../measure/schemas.ts';
import type { ManifestPanel } from '../output/manifest.ts';
import { jobOfReprint, layoutsAsWritten, layoutsOfPanels } from '../output/reprint-layouts.ts';
import { jobProduction } from './job-production.ts';

export const ReprintFilm = z.strictObject({
  /** Off each roll that is used, lead-in and tail included. */
  rolls: z.array(z.strictObject({ widthMm: mmSchema, lengthMm: mmSchema })),
  /** Panels that no roll of the job takes. */
  unplaced: z.array(z.string()),
});
export type ReprintFilm = z.infer<typeof ReprintFilm>;

/** `panels`: those to print again, as the manifest of the output has them. Nested as the ticket of the reprint will be. */
export function reprintFilm(job: Job, panels: readonly ManifestPanel[]): ReprintFilm {
  const again = jobOfReprint(job);
  const written = layoutsAsWritten(jobLayout(again), panels);
  const layouts = layoutsOfPanels(
    written,
    panels.map(({ panelId }) => panelId),
  );
  const { plan, rolls, items } = jobProduction(again, layouts);
  const labelOf = new Map(items.map(({ panelId, label }) => [panelId, label]));
  return {
    rolls: plan.uses.flatMap(({ rollId, usedLengthMm }) =>
      usedLengthMm > 0
        ? [{ widthMm: rolls.find(({ id }) => id === rollId)!.widthMm, lengthMm: usedLengthMm }]
        : [],
    ),
    unplaced: plan.unplacedPanelIds.map((panelId) => labelOf.get(panelId)!),
  };
}

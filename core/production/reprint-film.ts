/** The film that panels of a past output need when they are printed again. */
import { z } from 'zod';
import type { Job } from '../job/schema.ts';
import { mmSchema } from '../measure/schemas.ts';
import type { ManifestPanel } from '../output/manifest.ts';
import { jobOfReprint } from '../output/reprint-layouts.ts';
import { outputRolls } from './output-rolls.ts';

export const ReprintFilm = z.strictObject({
  /** Off each roll that is used, lead-in and tail included. */
  rolls: z.array(z.strictObject({ widthMm: mmSchema, lengthMm: mmSchema })),
  /** Panels that no roll of the job takes. */
  unplaced: z.array(z.string()),
});
export type ReprintFilm = z.infer<typeof ReprintFilm>;

/** `panels`: those to print again, as the manifest of the output has them. Nested as the ticket of the reprint will be. */
export function reprintFilm(job: Job, panels: readonly ManifestPanel[]): ReprintFilm {
  const { rolls, unplaced } = outputRolls(jobOfReprint(job), panels);
  return {
    rolls: rolls.map(({ widthMm, lengthMm }) => ({ widthMm, lengthMm })),
    unplaced: [...unplaced],
  };
}

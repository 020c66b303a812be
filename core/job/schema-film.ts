/** Films and laminates, and the printers that they run on. */

import { z } from 'zod';
import { FilmProductionSettings } from '../shop/production-settings.ts';
import { FilmBase } from '../shop/shelf.ts';
import { id, lengthMm, name, positiveMm, text } from './schema-parts.ts';

/** With the first film they have the letters A to Z. */
export const MAX_OTHER_FILMS = 25;

const filmKind = z.enum(['cast', 'calendered-polymeric', 'calendered-monomeric']);

const material = { name, kind: filmKind, finish: text, lotNumber: text };

export const Laminate = z.strictObject({
  ...material,
  /** Clear enough to look through, as film on glass must be. */
  opticallyClear: z.literal(true).optional(),
});
export type Laminate = z.infer<typeof Laminate>;

export const Film = z.strictObject({
  ...material,
  /** With holes to look through, for glass. */
  perforated: z.literal(true).optional(),
  /** Base of the film before printing; absent: white. */
  base: FilmBase.optional(),
  /** Name of the artwork's spot ink that prints as white. */
  whitePlate: z.string().min(1).max(200).optional(),
  /**
   * What mirrors a print that is seen through its film, such as on the inside of glass: the RIP, or the panel files.
   * Absent: not mirrored.
   */
  mirror: z.enum(['rip', 'file']).optional(),
});
export type Film = z.infer<typeof Film>;

export const Printer = z.strictObject({
  name,
  /** True width of the roll, not its trade name: a 54 in roll is 1,371.6 mm. */
  rollWidthMm: positiveMm,
  rollLengthMm: positiveMm,
  /** Unprintable margins at the two sides of the roll. */
  marginLeftMm: lengthMm,
  marginRightMm: lengthMm,
  longestPrintMm: positiveMm,
  /** Measured length error of the film feed: +0.2 means that prints are 0.2 % too long. */
  feedErrorPercent: z.number().min(-5).max(5),
});
export type Printer = z.infer<typeof Printer>;

/** A further film of the job with its laminate, printer and production. The first film is in the job itself. */
export const OtherFilm = z.strictObject({
  id,
  film: Film,
  laminate: Laminate.optional(),
  /** Its printer, and the roll in it. */
  printer: Printer,
  /** Production settings of this film; the rest is stored once for the job. */
  production: FilmProductionSettings.optional(),
});
export type OtherFilm = z.infer<typeof OtherFilm>;

/** Films and laminates, and the printers that they run on. */

import { z } from 'zod';
import { FilmProductionSettings } from '../shop/production-settings.ts';
import { FilmBase } from '../shop/shelf.ts';
import { id, lengthMm, name, positiveMm, text } from './schema-parts.ts';

/** With the first they have the letters A to Z. */
export const MAX_OTHER_FILMS = 25;

const filmKind = z.enum(['cast', 'calendered-polymeric', 'calendered-monomeric']);

const material = { name, kind: filmKind, finish: text, lotNumber: text };

export const Laminate = z.strictObject({
  ...material,
  /** Made to be looked through, as film on glass needs it. */
  opticallyClear: z.literal(true).optional(),
});
export type Laminate = z.infer<typeof Laminate>;

export const Film = z.strictObject({
  ...material,
  /** With holes to look through: what glass is printed on. */
  perforated: z.literal(true).optional(),
  /** What the film is before it is printed; absent: white. */
  base: FilmBase.optional(),
  /** Name of the spot ink of the artwork that prints as white. */
  whitePlate: z.string().min(1).max(200).optional(),
  /**
   * What mirrors a print that is looked at through its film, as on the inside of glass: the RIP, or the panel files.
   * Absent: it is not mirrored.
   */
  mirror: z.enum(['rip', 'file']).optional(),
});
export type Film = z.infer<typeof Film>;

export const Printer = z.strictObject({
  name,
  /** True width of the roll, not its trade name: a 54 in roll is 1,371.6 mm. */
  rollWidthMm: positiveMm,
  rollLengthMm: positiveMm,
  /** Unprintable margin at each side of the roll. */
  marginLeftMm: lengthMm,
  marginRightMm: lengthMm,
  longestPrintMm: positiveMm,
  /** Measured length error of the film feed: +0.2 means that a print comes out 0.2 % long. */
  feedErrorPercent: z.number().min(-5).max(5),
});
export type Printer = z.infer<typeof Printer>;

/** A further film of the job with its laminate, printer and production. The first film is in the job itself. */
export const OtherFilm = z.strictObject({
  id,
  film: Film,
  laminate: Laminate.optional(),
  /** What it is printed with, and the roll in it. */
  printer: Printer,
  /** What production knows of this film; the rest is said once for the job. */
  production: FilmProductionSettings.optional(),
});
export type OtherFilm = z.infer<typeof OtherFilm>;

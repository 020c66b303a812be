/** How much film runs past a line: at new seams, at the edges of new sides, and around new no-film areas. */
import { z } from 'zod';

const lengthMm = z.number().nonnegative().max(1000);

export const Allowances = z
  .strictObject({
    /** Printed overlap of a new seam, and what of it stays covered once the upper edge is trimmed. */
    overlapMm: lengthMm,
    finishedOverlapMm: lengthMm,
    /** Printed overlap on trailers and box bodies, whose installers shift panels and trim on the vehicle. */
    shiftOverlapMm: lengthMm,
    bleedMm: lengthMm,
    /** From a new no-film area to where a seam may end. */
    clearanceMm: lengthMm,
  })
  .refine(
    ({ finishedOverlapMm, overlapMm }) => finishedOverlapMm <= overlapMm,
    'the finished overlap is a part of the printed one',
  );
export type Allowances = z.infer<typeof Allowances>;

/**
 * Common practice, no source: 15 of 25 mm stay when the top part is trimmed on the seam line, more than the half inch that
 * holds, and 10 mm are there to trim.
 */
export const METRIC_ALLOWANCES: Allowances = {
  overlapMm: 25,
  finishedOverlapMm: 15,
  shiftOverlapMm: 90,
  bleedMm: 50,
  clearanceMm: 20,
};

/** The same in inches: 1, 1/2, 3 1/2, 2 and 3/4. */
export const INCH_ALLOWANCES: Allowances = {
  overlapMm: 25.4,
  finishedOverlapMm: 12.7,
  shiftOverlapMm: 88.9,
  bleedMm: 50.8,
  clearanceMm: 19.05,
};

/** The part of a printed overlap that stays covered. */
export const finishedShare = ({ overlapMm, finishedOverlapMm }: Allowances): number =>
  overlapMm > 0 ? finishedOverlapMm / overlapMm : 1;

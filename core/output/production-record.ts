import { z } from 'zod';

const text = z.string().max(500);

const fields = {
  printer: text,
  mediaProfile: text,
  outputIntent: text,
  /** Spot inks, and their substitutes. */
  spotInks: text,
  overprint: text,
  inkLimit: text,
  filmLot: text,
  laminateLot: text,
  inkLot: text,
  /** When the last panel came off the printer: drying counts from then. */
  offPrinter: text,
  enteredBy: text,
};

/** Entries for one film, for one vehicle where sets are printed one after another, or for both. */
export const RecordPart = z
  .strictObject({
    /** Absent: the first film. */
    filmId: z.string().max(200),
    /** Absent: all vehicles. */
    unitNumber: z.string().max(200),
    ...fields,
  })
  .partial();
export type RecordPart = z.infer<typeof RecordPart>;

/**
 * Settings and materials that an output was really made with, as the operator entered them, so that a reprint can use
 * the same. Fields outside `parts` apply to the first film; who entered it and the time off the printer apply to all
 * films.
 */
export const ProductionRecord = z.strictObject({ ...fields, parts: z.array(RecordPart).max(1000) }).partial();
export type ProductionRecord = z.infer<typeof ProductionRecord>;

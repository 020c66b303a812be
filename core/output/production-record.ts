import { z } from 'zod';

const text = z.string().max(500);

const fields = {
  printer: text,
  mediaProfile: text,
  outputIntent: text,
  /** And what stands in for them. */
  spotInks: text,
  overprint: text,
  inkLimit: text,
  filmLot: text,
  laminateLot: text,
  inkLot: text,
  /** When the last panel came off the printer: drying counts from there. */
  offPrinter: text,
  enteredBy: text,
};

/** Of one film of several, of one vehicle where sets follow each other, or of both. */
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
 * What an output was really made with, as the operator wrote it down: whoever prints a panel again sets the same. What
 * stands beside its parts tells of the first film; who entered it and the time off the printer tell of all.
 */
export const ProductionRecord = z.strictObject({ ...fields, parts: z.array(RecordPart).max(1000) }).partial();
export type ProductionRecord = z.infer<typeof ProductionRecord>;

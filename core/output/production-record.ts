import { z } from 'zod';

const text = z.string().max(500);

/** What an output was really made with, as the operator wrote it down: a reprint uses the same settings. */
export const ProductionRecord = z
  .strictObject({
    printer: text,
    mediaProfile: text,
    outputIntent: text,
    /** And their replacements. */
    spotInks: text,
    overprint: text,
    inkLimit: text,
    filmLot: text,
    laminateLot: text,
    inkLot: text,
    /** When the last panel came off the printer: drying counts from there. */
    offPrinter: text,
    enteredBy: text,
  })
  .partial();
export type ProductionRecord = z.infer<typeof ProductionRecord>;

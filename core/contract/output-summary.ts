/** An output as lists show it, in a separate file so that a list loads no job schema. */
import { z } from 'zod';
import { ProductionRecord } from '../output/production-record.ts';
import { SHEET_KINDS } from '../output/sheet-kind.ts';
import { UsedRoll } from '../output/used-roll.ts';
import { OutputVerification } from '../verify/output-verification.ts';

export const OutputFile = z.strictObject({
  name: z.string(),
  kind: z.enum(['panel', 'strip', 'color-strip', 'fill', 'manifest', ...SHEET_KINDS]),
  sha256: z.string(),
  sizeBytes: z.number(),
  panelId: z.string().optional(),
  panelLabel: z.string().optional(),
});
export type OutputFile = z.infer<typeof OutputFile>;

export const OutputSummary = z.strictObject({
  /** Number among all outputs of the archive, used for requests. */
  id: z.number().int().positive(),
  /** Number for people: the outputs of a job count from 1. */
  number: z.number().int().positive(),
  kind: z.enum(['output', 'reprint']),
  /** The output whose panels are reprinted. */
  reprintOf: z.number().int().positive().optional(),
  /** In a reprint: the vehicle of its panels, where the job has several. */
  unitNumber: z.string().optional(),
  reason: z.string(),
  at: z.string(),
  programVersion: z.string(),
  folder: z.string(),
  files: z.array(OutputFile),
  /** Actual settings and materials, where entered. */
  record: ProductionRecord.optional(),
  /** Lot and roll of its panels, where its printing was entered. */
  usedRolls: z.array(UsedRoll).optional(),
  /** Whether the files were verified against the artwork; only then are they released for production. */
  verification: OutputVerification,
});
export type OutputSummary = z.infer<typeof OutputSummary>;

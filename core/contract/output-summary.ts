/** An output as lists show it, in a file of its own so that a list loads no schema of jobs. */
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
  /** Of all outputs of the archive; what to ask by. */
  id: z.number().int().positive(),
  /** What people call it: the outputs of a job count from 1. */
  number: z.number().int().positive(),
  kind: z.enum(['output', 'reprint']),
  /** The number of the output whose panels are made again. */
  reprintOf: z.number().int().positive().optional(),
  /** Of a reprint: the vehicle that its panels are for, where the job has several. */
  unitNumber: z.string().optional(),
  reason: z.string(),
  at: z.string(),
  programVersion: z.string(),
  folder: z.string(),
  files: z.array(OutputFile),
  /** What it was really made with, where that was entered. */
  record: ProductionRecord.optional(),
  /** Lot and roll of its panels, where its printing was entered. */
  usedRolls: z.array(UsedRoll).optional(),
  /** Whether the files were verified to be the artwork; only then are they released for production. */
  verification: OutputVerification,
});
export type OutputSummary = z.infer<typeof OutputSummary>;

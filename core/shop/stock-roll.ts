/**
 * Rolls as they stand on the shelf, and the ledger of what was put on them and taken off. A movement is never changed or
 * removed: a wrong one gets a counter-entry. The length left is the sum:
 *
 *     received     +45,720
 *     printed      −12,480   Output 2 of ACL-0417
 *     printed      −12,480   by mistake
 *     undone       +12,480   the counter-entry of the line above
 *     corrected       −240   counted: 33,000
 *     ───────────────────
 *     left          33,000
 */
import { z } from 'zod';
import { STOCK_USES } from './stock-use.ts';

const MAX_FILM_MM = 1_000_000;
const name = z.string().trim().min(1).max(200);
const text = z.string().max(500);
const filmMm = z.number().positive().max(MAX_FILM_MM);

const StockUse = z.enum(STOCK_USES);

/** What the shop knows of a roll, beside its length. */
export const StockFacts = z.strictObject({
  use: StockUse,
  /** As on the shop's list of films and laminates. */
  material: name,
  /** Empty where the maker’s number is not known. */
  lotNumber: z.string().trim().max(200),
  rollNumber: name,
  /** True width, not the trade name: a 54 in roll is 1,371.6 mm. */
  widthMm: z.number().positive().max(10_000),
  /** Its place in the shop. */
  place: text,
  receivedOn: z.iso.date(),
  /** Last day on which its maker answers for it. */
  useBy: z.iso.date().optional(),
});
export type StockFacts = z.infer<typeof StockFacts>;

/** A film length that is received, used or counted. */
export const StockLength = filmMm;

export const StockRoll = z.strictObject({
  ...StockFacts.shape,
  id: z.string().min(1).max(200),
  /** Counts the rolls of the shop from 1; see stockCode. */
  number: z.number().int().positive(),
  /** The sum of its ledger. Below zero only where a person confirmed that. */
  leftMm: z.number(),
  /** Whether film was taken off it since it came. */
  isPartial: z.boolean(),
});
export type StockRoll = z.infer<typeof StockRoll>;

export const MOVEMENT_KINDS = [
  'received',
  'printed',
  'laminated',
  'corrected',
  'scrapped',
  'changed',
  'undone',
] as const;
export const MovementKind = z.enum(MOVEMENT_KINDS);
export type MovementKind = z.infer<typeof MovementKind>;

/** For which output film was used: which panels, and which time it was printed. */
export const MovementOutput = z.strictObject({
  jobId: z.string(),
  jobNumber: z.string(),
  number: z.number().int().positive(),
  /** From 1; a further print of the same output counts on. */
  printing: z.number().int().positive(),
  panelLabels: z.array(z.string()),
});
export type MovementOutput = z.infer<typeof MovementOutput>;

export const StockMovement = z.strictObject({
  id: z.number().int().positive(),
  rollId: z.string(),
  kind: MovementKind,
  /** Negative where film went off the roll. */
  deltaMm: z.number(),
  at: z.string(),
  by: z.string(),
  note: z.string(),
  output: MovementOutput.optional(),
  /** Of a counter-entry: the movement that it undoes. */
  undoes: z.number().int().positive().optional(),
  /** The counter-entry that undid this one. */
  undoneBy: z.number().int().positive().optional(),
});
export type StockMovement = z.infer<typeof StockMovement>;

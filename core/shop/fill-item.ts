/**
 * The fill list of a film of a job: small pieces that print in what would be waste beside its panels. They have no place of
 * their own; see core/rolls/fill-plan.ts.
 */
import { z } from 'zod';
import { FILL_KINDS, FILL_NEEDS } from './fill-kind.ts';

const MAX_FILM_MM = 10_000;
const sizeMm = z.number().positive().max(MAX_FILM_MM);

export const FillKind = z.enum(FILL_KINDS);

/** A panel of an output in the archive that waits to be printed. */
export const FillSource = z.strictObject({
  jobId: z.string().min(1).max(200),
  jobNumber: z.string().max(200),
  output: z.number().int().positive(),
  panelLabel: z.string().max(200),
  /** Its file there, and what it was cut from. */
  fileName: z.string().max(500),
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  artworkSha256: z.string().regex(/^[0-9a-f]{64}$/),
});
export type FillSource = z.infer<typeof FillSource>;

export const MOST_OF_ONE = 200;
export const MOST_FILL_ITEMS = 200;

export const FillItem = z.strictObject({
  id: z.string().regex(/^[A-Za-z0-9][A-Za-z0-9_-]{0,63}$/),
  label: z.string().trim().min(1).max(100),
  kind: FillKind,
  need: z.enum(FILL_NEEDS),
  /** Size on roll, its border included. */
  widthMm: sizeMm,
  heightMm: sizeMm,
  /** How many pieces. */
  count: z.number().int().min(1).max(MOST_OF_ONE),
  /** Absent: the shop has the file, or it is a blank piece. */
  source: FillSource.optional(),
});
export type FillItem = z.infer<typeof FillItem>;

/** The first id that none of the list has. */
export function freshFillId(items: readonly FillItem[]): string {
  const taken = new Set(items.map(({ id }) => id));
  let number = 1;
  while (taken.has(`fill-${number}`)) number++;
  return `fill-${number}`;
}

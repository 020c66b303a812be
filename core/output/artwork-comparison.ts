/**
 * What a comparison of two artworks of a job found: for each panel whether a corrected artwork prints it as it was. Lengths
 * are finished mm on the side, origin top left.
 */
import { z } from 'zod';
import { ArtworkReference } from '../job/schema.ts';

export const COMPARISON_VERSION = 1;

const rect = z.strictObject({ xMm: z.number(), yMm: z.number(), widthMm: z.number(), heightMm: z.number() });
const share = z.number().min(0).max(1);
const page = z.number().int().positive();

/** Two proofs that a panel prints as it did. */
export const SameProof = z.enum([
  /** Every object and sample of it is equal, however the file was written. */
  'same-content',
  /** Two renderers draw it equal; letters, colors and samples are equal. */
  'same-picture',
]);

export const ComparedPanel = z.strictObject({
  panelId: z.string(),
  label: z.string(),
  /** By its outline a panel is found again, never by its number. */
  finishedBox: rect,
  finishedOutline: z.array(z.strictObject({ xMm: z.number(), yMm: z.number() })).optional(),
  printedBox: rect,
  /** `outside`: it prints as it did, and beside it, or on a layer that does not print, something has changed. */
  verdict: z.enum(['unchanged', 'changed', 'outside']),
  /** Absent where it has changed. */
  proof: SameProof.optional(),
  /** Share of the printed area that the changed places take. */
  changedShare: share,
  /** Around what has changed; of `outside`, where that lies. */
  places: z.array(rect),
  /** What has changed, in sentences. */
  reasons: z.array(z.string()),
});

export const ComparedSide = z.strictObject({
  sideId: z.string(),
  code: z.string(),
  name: z.string(),
  widthMm: z.number().positive(),
  heightMm: z.number().positive(),
  /** Pages of the two artworks; absent: the side is on none. */
  pageBefore: page.optional(),
  pageAfter: page.optional(),
  panels: z.array(ComparedPanel),
});

export const ArtworkComparison = z.strictObject({
  format: z.literal('panelwright-comparison'),
  version: z.literal(COMPARISON_VERSION),
  before: ArtworkReference,
  after: ArtworkReference,
  /** What is to be said of the file as a whole: pages that moved, came or went, another size. */
  remarks: z.array(z.string()),
  /** Pages that sides are on in the corrected artwork, where they are others. */
  moves: z.array(z.strictObject({ sideId: z.string(), page })),
  sides: z.array(ComparedSide),
});

export type SameProof = z.infer<typeof SameProof>;
export type ComparedPanel = z.infer<typeof ComparedPanel>;
export type ComparedSide = z.infer<typeof ComparedSide>;
export type ArtworkComparison = z.infer<typeof ArtworkComparison>;

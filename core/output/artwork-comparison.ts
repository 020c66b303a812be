/**
 * Result of comparing two artworks of a job: for each panel, whether the corrected artwork prints it unchanged. Lengths
 * are finished mm on the side, origin top left.
 */
import { z } from 'zod';
import { ArtworkReference } from '../job/schema.ts';

export const COMPARISON_VERSION = 1;

const rect = z.strictObject({ xMm: z.number(), yMm: z.number(), widthMm: z.number(), heightMm: z.number() });
const share = z.number().min(0).max(1);
const page = z.number().int().positive();

/** Two ways to prove that a panel prints unchanged. */
export const SameProof = z.enum([
  /** Every object and sample is equal, however the file was written. */
  'same-content',
  /** Two renderers draw it the same; letters, colors and samples are equal. */
  'same-picture',
]);

export const ComparedPanel = z.strictObject({
  panelId: z.string(),
  label: z.string(),
  /** Panels are matched by outline, never by number. */
  finishedBox: rect,
  finishedOutline: z.array(z.strictObject({ xMm: z.number(), yMm: z.number() })).optional(),
  printedBox: rect,
  /** `outside`: it prints unchanged, but something changed beside it or on a layer that does not print. */
  verdict: z.enum(['unchanged', 'changed', 'outside']),
  /** Absent where it has changed. */
  proof: SameProof.optional(),
  /** Share of the printed area that changed. */
  changedShare: share,
  /** Boxes around the changes; for `outside`, where those are. */
  places: z.array(rect),
  /** What changed, in sentences. */
  reasons: z.array(z.string()),
});

export const ComparedSide = z.strictObject({
  sideId: z.string(),
  code: z.string(),
  name: z.string(),
  widthMm: z.number().positive(),
  heightMm: z.number().positive(),
  /** Its pages in the two artworks; absent: the side is on none. */
  pageBefore: page.optional(),
  pageAfter: page.optional(),
  panels: z.array(ComparedPanel),
});

export const ArtworkComparison = z.strictObject({
  format: z.literal('panelwright-comparison'),
  version: z.literal(COMPARISON_VERSION),
  before: ArtworkReference,
  after: ArtworkReference,
  /** Remarks on the file as a whole: pages moved, added or removed, another size. */
  remarks: z.array(z.string()),
  /** New pages of sides in the corrected artwork, where they differ. */
  moves: z.array(z.strictObject({ sideId: z.string(), page })),
  sides: z.array(ComparedSide),
});

export type SameProof = z.infer<typeof SameProof>;
export type ComparedPanel = z.infer<typeof ComparedPanel>;
export type ComparedSide = z.infer<typeof ComparedSide>;
export type ArtworkComparison = z.infer<typeof ArtworkComparison>;

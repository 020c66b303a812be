/** The artwork of a job: its pages, their pictures, and suggested layouts. */
import { z } from 'zod';
import { ArtworkScan } from '../checks/scan/schema.ts';
import { Finding } from '../findings/finding.ts';
import { ArtworkReference, Job } from '../job/schema.ts';
import { PAGE_BOXES } from '../measure/page-box.ts';
import { PlanAnswer } from '../seams/plan-answer.ts';
import { id, MAX_PX, Picture, rect, token, type Verb } from './parts.ts';

/** A page of an artwork, in drawn mm from the top left corner of the box in use. */
export const ArtworkPageFacts = z.strictObject({
  number: z.number().int().positive(),
  /** Extent of the artwork on the page. */
  extent: rect,
  boxes: z.record(z.enum(PAGE_BOXES), rect),
  rotate: z.number(),
  userUnit: z.number(),
});
export type ArtworkPageFacts = z.infer<typeof ArtworkPageFacts>;

export const ArtworkFacts = z.strictObject({
  reference: ArtworkReference,
  /** Usable pages. */
  pages: z.array(ArtworkPageFacts),
  /** What an operator should know before trusting the pages, including unusable ones. */
  remarks: z.array(Finding),
  /** Contents of the pages for core/checks; absent where they were not scanned. */
  scan: ArtworkScan.optional(),
  /** Pages that cannot be used. */
  problems: z.array(
    z.strictObject({ page: z.number().int(), code: z.string(), message: z.string(), remedy: z.string() }),
  ),
});
export type ArtworkFacts = z.infer<typeof ArtworkFacts>;

/** A path of a page, for tracing. */
export const ArtworkOutline = z.strictObject({
  /** Drawn mm, alternating x and y. A closed path does not repeat its first point. */
  points: z.array(z.number()).min(4),
  isClosed: z.boolean(),
  /** Name of the color for people: `C 60 M 40`, `Signal Red 100`, `#d01c1c`. */
  color: z.string(),
  /** Drawn width; 0 for an area without an outline stroke. */
  widthMm: z.number().nonnegative(),
});
export type ArtworkOutline = z.infer<typeof ArtworkOutline>;

/** More than a screen can show usefully. */
export const MOST_OUTLINES = 20_000;

export const ArtworkOutlines = z.strictObject({
  /** Layers with paths on this page. */
  layers: z.array(
    z.strictObject({ name: z.string(), isOn: z.boolean(), outlines: z.number().int().positive() }),
  ),
  /** Pages of the file. */
  pages: z.number().int().positive(),
  /** Total number of paths. */
  count: z.number().int().nonnegative(),
  /** Empty where there are more than `MOST_OUTLINES`. */
  outlines: z.array(ArtworkOutline).max(MOST_OUTLINES),
});
export type ArtworkOutlines = z.infer<typeof ArtworkOutlines>;

export const ARTWORK_VERBS = {
  /** Returns only the pages; their contents are requested afterward. */
  'artwork:import': {
    request: z.strictObject({
      file: token,
      /** PDFs whose pages follow those of `file` as one artwork. */
      others: z.array(token).optional(),
      password: z.string().max(1000).optional(),
      box: z.enum(PAGE_BOXES),
    }),
    reply: ArtworkFacts,
  },
  'artwork:facts': {
    /**
     * `isBrief`: only the pages, at once, without scanning their contents. A correct password is remembered until the
     * program ends.
     */
    request: z.strictObject({
      reference: ArtworkReference,
      isBrief: z.boolean().optional(),
      password: z.string().max(1000).optional(),
    }),
    reply: ArtworkFacts,
  },
  /** The paths of a layer; without a layer, those that show as the file opens. */
  'artwork:outlines': {
    request: z.strictObject({
      reference: ArtworkReference,
      page: z.number().int().positive(),
      layer: z.string().optional(),
    }),
    reply: ArtworkOutlines,
  },
  /** A window of a page in drawn mm, `widthPx` wide. */
  'artwork:picture': {
    request: z.strictObject({
      reference: ArtworkReference,
      page: z.number().int().positive(),
      window: rect,
      widthPx: z.number().int().min(1).max(MAX_PX),
    }),
    reply: Picture,
  },

  /** Suggested seams of a side, with reasons. */
  'layout:suggest': {
    request: z.strictObject({
      job: Job,
      sideId: id,
      layouts: z.enum(['sections', 'one-way']),
      otherRollWidthsMm: z.array(z.number().positive().max(10_000)).max(10),
    }),
    reply: PlanAnswer,
  },
} as const satisfies Record<string, Verb>;

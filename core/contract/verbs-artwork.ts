/** The artwork of a job: its pages, pictures of them, and layouts that suit it. */
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
  /** Where the page holds artwork. */
  extent: rect,
  boxes: z.record(z.enum(PAGE_BOXES), rect),
  rotate: z.number(),
  userUnit: z.number(),
});
export type ArtworkPageFacts = z.infer<typeof ArtworkPageFacts>;

export const ArtworkFacts = z.strictObject({
  reference: ArtworkReference,
  /** Pages that can be used. */
  pages: z.array(ArtworkPageFacts),
  /** What an operator should know before trusting the pages, those too that cannot be used. */
  remarks: z.array(Finding),
  /** What the pages hold, for core/checks; absent where they were not looked through. */
  scan: ArtworkScan.optional(),
  /** Pages that cannot. */
  problems: z.array(
    z.strictObject({ page: z.number().int(), code: z.string(), message: z.string(), remedy: z.string() }),
  ),
});
export type ArtworkFacts = z.infer<typeof ArtworkFacts>;

/** A path of a page, for tracing. */
export const ArtworkOutline = z.strictObject({
  /** Drawn mm, x and y in turn. Of a closed one the first point is not repeated. */
  points: z.array(z.number()).min(4),
  isClosed: z.boolean(),
  /** What a person calls it by: `C 60 M 40`, `Signal Red 100`, `#d01c1c`. */
  color: z.string(),
  /** Drawn; 0 for an area without a line around it. */
  widthMm: z.number().nonnegative(),
});
export type ArtworkOutline = z.infer<typeof ArtworkOutline>;

/** More than a screen shows at once, and more than an eye tells apart. */
export const MOST_OUTLINES = 20_000;

export const ArtworkOutlines = z.strictObject({
  /** Those that hold paths on this page. */
  layers: z.array(
    z.strictObject({ name: z.string(), isOn: z.boolean(), outlines: z.number().int().positive() }),
  ),
  /** Pages of the file. */
  pages: z.number().int().positive(),
  /** How many paths there are. */
  count: z.number().int().nonnegative(),
  /** None where there are more than `MOST_OUTLINES`. */
  outlines: z.array(ArtworkOutline).max(MOST_OUTLINES),
});
export type ArtworkOutlines = z.infer<typeof ArtworkOutlines>;

export const ARTWORK_VERBS = {
  /** Answers with the pages only; what they hold is asked for afterwards. */
  'artwork:import': {
    request: z.strictObject({
      file: token,
      /** PDFs whose pages come after those of `file`, to be one artwork with it. */
      others: z.array(token).optional(),
      password: z.string().max(1000).optional(),
      box: z.enum(PAGE_BOXES),
    }),
    reply: ArtworkFacts,
  },
  'artwork:facts': {
    /**
     * `isBrief`: the pages only, at once, without looking through what they hold. A password that fits is remembered
     * until the program ends.
     */
    request: z.strictObject({
      reference: ArtworkReference,
      isBrief: z.boolean().optional(),
      password: z.string().max(1000).optional(),
    }),
    reply: ArtworkFacts,
  },
  /** The paths of a layer; without one, those that show as the file opens. */
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

  /** Where the seams of a side could go, and why. */
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

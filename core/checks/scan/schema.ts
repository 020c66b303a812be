/**
 * The scan of an artwork, as plain data: gathered once for each file in a worker, stored by the file's hash, sent to
 * the screens, and checked there against the job (core/checks/artwork-checks.ts).
 *
 * Places are in drawn mm from the corner of the box in use. Lists are limited to a readable length; counts include
 * everything.
 */
import { z } from 'zod';
import { PAGE_BOXES } from '../../measure/page-box.ts';
import type { ResourceCategory } from '../../pdf/content/painted.ts';

export const ScanRect = z.strictObject({
  x: z.number(),
  y: z.number(),
  width: z.number(),
  height: z.number(),
});
const count = z.number().int().nonnegative();

/** Things of one kind: their count, the area around all of them, and the first few places. */
export const Occurrences = z.strictObject({
  objects: count,
  area: ScanRect,
  places: z.array(ScanRect),
});

export const ScannedImage = z.strictObject({
  /** Number of the image's object in the file; absent for an image written into the content. */
  object: z.number().int().optional(),
  widthPx: count,
  heightPx: count,
  /** Pixels per inch as drawn; divide by the scale of the job. Absent in a direction with only one pixel. */
  ppiX: z.number().optional(),
  ppiY: z.number().optional(),
  area: ScanRect,
  /** Drawn into a soft mask: blurs and shadows, which have low resolution on purpose. */
  isMask: z.boolean(),
});

export const ScannedSpace = Occurrences.extend({
  label: z.string(),
  family: z.string(),
  components: count,
  /** For an Indexed or Pattern space its base space; else the same as `family`. */
  colors: z.string(),
  /** Components of the space in `colors`. */
  colorComponents: count,
});

export const ScannedSpot = Occurrences.extend({
  name: z.string(),
  /** Labels of the alternate spaces used where the ink is not loaded. */
  alternates: z.array(z.string()),
  /** Colors of a full coat in the alternate spaces, one of each that can be distinguished. */
  colors: z.array(z.strictObject({ space: z.string(), values: z.array(z.number()) })),
});

export const ScannedFont = Occurrences.extend({
  /** Name without the subset prefix. */
  name: z.string(),
  kind: z.enum(['embedded', 'missing', 'type3']),
});

/** A line of live text. */
export const ScannedLine = z.strictObject({
  text: z.string(),
  area: ScanRect,
  words: z.array(ScanRect),
  /** Vertical strokes of its letters; empty where no picture of the page was scanned. */
  strokes: z.array(ScanRect),
  /** Font size as drawn. */
  sizeMm: z.number(),
  /** Whether it reads backward, as in a mirror. */
  isMirrored: z.boolean().optional(),
});

/** A name that the content uses and the resources do not have. */
export const MissingResource = z.strictObject({
  category: z.enum([
    'ExtGState',
    'ColorSpace',
    'Pattern',
    'Shading',
    'XObject',
    'Font',
    'Properties',
  ] satisfies ResourceCategory[]),
  name: z.string(),
  /** Number of uses. */
  uses: count,
});

/** What looks like a line of lettering in a picture of the page. */
export const ScannedShapes = z.strictObject({
  area: ScanRect,
  words: z.array(ScanRect),
  strokes: z.array(ScanRect),
  /** As drawn. */
  capHeightMm: z.number(),
  /** Whether shapes like this are lettering more often than not. */
  isSure: z.boolean(),
});

/** Strokes of one width as drawn; 0 is the thinnest line of the device. */
export const ScannedStroke = Occurrences.extend({ widthMm: z.number() });

/** Objects of one color with a high ink sum. */
export const ScannedColor = Occurrences.extend({
  /** Sum of its inks in percent. */
  percent: z.number(),
  label: z.string(),
});

/** Width of one step of an image's ink sums, in percent. */
export const INK_STEP_PERCENT = 10;

/** Distribution of an image's pixels over ink sums: `shares[n]` is the share above n steps. */
export const ScannedImageInk = z.strictObject({
  object: z.number().int().optional(),
  area: ScanRect,
  maxPercent: z.number(),
  shares: z.array(z.number()),
  /** For a JPEG: sums use the means of 8 × 8 pixels, not single pixels. */
  isAveraged: z.boolean(),
});

/** Objects of one blend mode other than Normal (ISO 32000-1, 11.3.5). */
export const ScannedBlendMode = Occurrences.extend({ mode: z.string() });

/** Blends with a high ink sum at their heaviest place. */
export const ScannedBlend = Occurrences.extend({ percent: z.number() });

export const OutputIntent = z.strictObject({
  /** `GTS_PDFX`, `GTS_PDFA1`, … */
  kind: z.string(),
  /** OutputConditionIdentifier. */
  condition: z.string(),
  /** Color components of its profile; absent where it embeds no profile. */
  profileComponents: z.number().int().optional(),
});

export const DefaultSpace = z.enum(['DefaultGray', 'DefaultRGB', 'DefaultCMYK']);

export const PageScan = z.strictObject({
  number: z.number().int().positive(),
  /** Boxes that the page states itself or inherits, as opposed to defaults. */
  statedBoxes: z.array(z.enum(PAGE_BOXES)),
  boxes: z.record(z.enum(PAGE_BOXES), ScanRect),
  rotate: z.number(),
  userUnit: z.number(),
  images: z.array(ScannedImage),
  spaces: z.array(ScannedSpace),
  /** Default spaces of the page's resources, which replace device spaces. */
  defaultSpaces: z.array(DefaultSpace),
  spots: z.array(ScannedSpot),
  /** Objects whose color space cannot be determined. */
  unknownSpaces: count,
  fonts: z.array(ScannedFont),
  /** Lines of live text, smallest first; where there are very many, those of medium size are left out. */
  lettering: z.array(ScannedLine),
  /** The largest lines of live text. */
  largeLettering: z.array(ScannedLine),
  /** Found in a picture of the page in addition to live text; absent where no picture could be drawn. */
  shapes: z.array(ScannedShapes).optional(),
  strokes: z.array(ScannedStroke),
  colors: z.array(ScannedColor),
  imageInks: z.array(ScannedImageInk),
  /** Four-ink images whose pixels were not counted, because they are too many or unreadable. */
  imagesUncounted: count,
  blends: z.array(ScannedBlend),
  /** Blends in inks whose colors are calculated, or come from a damaged table. */
  blendsUncounted: count,
  /** Objects that overprint, if any. */
  overprint: Occurrences.optional(),
  /** White that is set to overprint, and therefore does not print. */
  whiteOverprint: Occurrences.optional(),
  transparency: Occurrences.optional(),
  /** Objects with a transfer function, and objects with a halftone that the file defines. */
  transfer: Occurrences.optional(),
  halftone: Occurrences.optional(),
  blendModes: z.array(ScannedBlendMode),
  /** Blending space of the page group; absent where there is no group or it names none. */
  blendingSpace: z.string().optional(),
  /** Objects on layers that are off. */
  hidden: Occurrences.optional(),
  /**
   * Painted areas in painting order: the outer bounds of paint, and white that surely covers. Film that none of them
   * reaches is bare. Incomplete where the page is painted in too many parts to keep.
   */
  paint: z.strictObject({
    isComplete: z.boolean(),
    areas: z.array(z.strictObject({ area: ScanRect, isWhite: z.boolean() })),
  }),
  outputIntents: z.array(OutputIntent),
  /** Parts of the content that could not be read and were passed over. */
  unreadable: count,
  missing: z.array(MissingResource),
});

export const ScannedLayer = z.strictObject({
  name: z.string(),
  /** Whether it is on when the file opens. */
  isOn: z.boolean(),
  /** Whether its usage says that it prints; absent where it says nothing. */
  prints: z.boolean().optional(),
});

export const DocumentScan = z.strictObject({
  layers: z.array(ScannedLayer),
  outputIntents: z.array(OutputIntent),
  isEncrypted: z.boolean(),
  isRepaired: z.boolean(),
});

export const ArtworkScan = z.strictObject({
  document: DocumentScan,
  pages: z.array(PageScan),
  /** Pages whose content could not be scanned. */
  problems: z.array(
    z.strictObject({ page: z.number().int(), code: z.string(), message: z.string(), remedy: z.string() }),
  ),
});

export type ScanRect = z.infer<typeof ScanRect>;
export type Occurrences = z.infer<typeof Occurrences>;
export type ScannedImage = z.infer<typeof ScannedImage>;
export type ScannedSpace = z.infer<typeof ScannedSpace>;
export type ScannedSpot = z.infer<typeof ScannedSpot>;
export type ScannedFont = z.infer<typeof ScannedFont>;
export type ScannedShapes = z.infer<typeof ScannedShapes>;
export type ScannedLine = z.infer<typeof ScannedLine>;
export type MissingResource = z.infer<typeof MissingResource>;
export type ScannedStroke = z.infer<typeof ScannedStroke>;
export type ScannedColor = z.infer<typeof ScannedColor>;
export type ScannedImageInk = z.infer<typeof ScannedImageInk>;
export type ScannedBlendMode = z.infer<typeof ScannedBlendMode>;
export type ScannedBlend = z.infer<typeof ScannedBlend>;
export type OutputIntent = z.infer<typeof OutputIntent>;
export type PageScan = z.infer<typeof PageScan>;
export type ScannedLayer = z.infer<typeof ScannedLayer>;
export type DocumentScan = z.infer<typeof DocumentScan>;
export type ArtworkScan = z.infer<typeof ArtworkScan>;

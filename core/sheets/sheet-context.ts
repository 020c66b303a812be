import type { RasterPicture } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { type TextStyle, textWrapped } from '../drawing/text-block.ts';
import type { Job } from '../job/schema.ts';
import type { Mm } from '../measure/units.ts';
import type { ColorStrip } from '../output/color-strip.ts';
import type { OutputMark } from '../output/output-mark.ts';
import type { SheetSize } from './sheet-size.ts';

/** A text that did not fit its place; it is printed in full at the end of the sheets. */
export interface LongText {
  readonly label: string;
  readonly text: string;
}

/** Data for every block of a set of sheets. */
export interface SheetContext {
  readonly job: Job;
  readonly fonts: FontMetrics;
  readonly size: SheetSize;
  /** Texts that were cut short, in the order of the sheets. */
  readonly longTexts: LongText[];
  /** Reprinted panels; empty for a first output. */
  readonly reprintedIds: ReadonlySet<string>;
  /** Whether each page has the verification status; false for sheets without an output. */
  readonly hasStamp: boolean;
  /** In a reprint: the color strip printed before its panels. */
  readonly strip: ColorStrip | undefined;
  /** Revision of the layout in a few digits; absent where none was given. */
  readonly revision: string | undefined;
  /** Output of the sheets; absent where they belong to none. */
  readonly output: OutputMark | undefined;
  /** Logo of the shop, in the title block. */
  readonly logo: RasterPicture | undefined;
  /** Photos of sides shown on the map, by side id. */
  readonly photos: ReadonlyMap<string, RasterPicture>;
  /** Share of the usual space between rows and blocks; 1, or less where that saves a page. */
  readonly spacing: number;
}

/** Options shared by the sheets of an output. */
export interface SheetOptions {
  /** In a reprint: the reprinted panels. */
  readonly reprintedIds?: readonly string[];
  /** Whether each page has the verification status. */
  readonly hasStamp?: boolean;
  /** In a reprint: the color strip printed before its panels. */
  readonly strip?: ColorStrip;
  /** Revision of the layout in a few digits. */
  readonly revision?: string;
  /** Output of the sheets. */
  readonly output?: OutputMark;
  /** Logo of the shop. */
  readonly logo?: RasterPicture;
  /** Photos of sides, by side id. */
  readonly photos?: ReadonlyMap<string, RasterPicture>;
}

/** Height of the band below the head of each reprint page: what it is, why and since when. */
const REPRINT_BAND_MM: Mm = 8;

export const sheetContext = (
  job: Job,
  fonts: FontMetrics,
  size: SheetSize,
  {
    reprintedIds = [],
    hasStamp = false,
    strip,
    revision,
    output,
    logo,
    photos = new Map(),
  }: SheetOptions = {},
): SheetContext => ({
  job,
  fonts,
  size: output?.reprint ? { ...size, bandMm: REPRINT_BAND_MM } : size,
  longTexts: [],
  reprintedIds: new Set(reprintedIds),
  hasStamp,
  strip,
  revision,
  output,
  logo,
  photos,
  spacing: 1,
});

/**
 * Wraps text to a number of lines. Text that does not fit ends in '…' and is printed in full on the last sheet under
 * `label`, so that no text of a job is lost.
 */
export function keepLines(
  context: SheetContext,
  label: string,
  text: string,
  style: TextStyle,
  { widthMm, maxLines }: { readonly widthMm: Mm; readonly maxLines: number },
): readonly string[] {
  const { lines, isCut } = textWrapped(context.fonts, text, style, widthMm, maxLines);
  if (isCut) keepLongText(context, label, text);
  return lines;
}

export function keepLongText(context: SheetContext, label: string, text: string): void {
  if (!context.longTexts.some((kept) => kept.text === text)) context.longTexts.push({ label, text });
}

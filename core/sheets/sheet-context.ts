import type { RasterPicture } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { type TextStyle, textWrapped } from '../drawing/text-block.ts';
import type { Job } from '../job/schema.ts';
import type { Mm } from '../measure/units.ts';
import type { ColorStrip } from '../output/color-strip.ts';
import type { OutputMark } from '../output/output-mark.ts';
import type { SheetSize } from './sheet-size.ts';

/** A text that did not fit where it belongs; it is printed whole at the end of the sheets. */
export interface LongText {
  readonly label: string;
  readonly text: string;
}

/** What every block of a set of sheets needs. */
export interface SheetContext {
  readonly job: Job;
  readonly fonts: FontMetrics;
  readonly size: SheetSize;
  /** Texts that were cut short, in the order of the sheets. */
  readonly longTexts: LongText[];
  /** Panels that are made again; empty for a first run. */
  readonly reprintedIds: ReadonlySet<string>;
  /** Whether each page says what the verification of the panels said; not so where the sheets go with no output. */
  readonly hasStamp: boolean;
  /** Of a reprint: what is printed before its panels and compared on the vehicle. */
  readonly strip: ColorStrip | undefined;
  /** Which layout the sheets show, in a few digits; absent where nobody says. */
  readonly revision: string | undefined;
  /** Which output the sheets go with; absent where they go with none. */
  readonly output: OutputMark | undefined;
  /** Of the shop, in the title block. */
  readonly logo: RasterPicture | undefined;
  /** Photos of sides that the map shows, by the id of their side. */
  readonly photos: ReadonlyMap<string, RasterPicture>;
  /** Share of the usual space between rows and blocks; 1, or less where that saves a page. */
  readonly spacing: number;
}

/** What the sheets of an output have in common. */
export interface SheetOptions {
  /** For a reprint: the panels that are made again. */
  readonly reprintedIds?: readonly string[];
  /** Whether each page says what the verification of the panels said. */
  readonly hasStamp?: boolean;
  /** Of a reprint: what is printed before its panels and compared on the vehicle. */
  readonly strip?: ColorStrip;
  /** Which layout the sheets show, in a few digits. */
  readonly revision?: string;
  /** Which output the sheets go with. */
  readonly output?: OutputMark;
  /** Of the shop. */
  readonly logo?: RasterPicture;
  /** Photos of sides, by the id of their side. */
  readonly photos?: ReadonlyMap<string, RasterPicture>;
}

/** Below the head of each page of a reprint: what it is, why and since when. */
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
 * Wraps text to a number of lines. What does not fit ends in '…' and is kept for the last sheet under `label`, because
 * no text of a job may be lost.
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

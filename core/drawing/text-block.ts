import { itemAt } from '../measure/present.ts';
import type { Point } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import {
  type Anchor,
  CAP_HEIGHT,
  type FontRole,
  LINE_PITCH,
  TEXT_ASCENT,
  TEXT_DESCENT,
  type TextItem,
  type Turn,
} from './drawing.ts';
import type { FontMetrics } from './font-library.ts';

/** The look of a line of text. `black` is 1 where absent. */
export interface TextStyle {
  readonly role: FontRole;
  readonly sizeMm: Mm;
  readonly black?: number;
}

export const styleOf = (role: FontRole, sizeMm: Mm): TextStyle => ({ role, sizeMm });

/** Em size for capitals and figures that are `capMm` high; ISO 3098 designates lettering by that height. */
export const sizeFromCap = (capMm: Mm): Mm => capMm / CAP_HEIGHT;

export interface TextPlace {
  readonly at: Point;
  readonly anchor?: Anchor;
  readonly turn?: Turn;
  readonly tag: string;
}

/** One line exactly as given; the caller must make sure that it fits. */
export function textLine(fonts: FontMetrics, text: string, style: TextStyle, place: TextPlace): TextItem {
  const line = fonts.printable(text);
  return {
    kind: 'text',
    tag: place.tag,
    text: line,
    role: style.role,
    sizeMm: style.sizeMm,
    at: place.at,
    anchor: place.anchor ?? 'start',
    turn: place.turn ?? 0,
    widthMm: fonts.width(line, style.role, style.sizeMm),
    black: style.black ?? 1,
  };
}

export interface WrappedText {
  readonly lines: readonly string[];
  /** Whether text was cut off, which the last line shows with '…'. */
  readonly isCut: boolean;
}

/**
 * Spaces where a line may break: never inside a length or size, such as `54 1/2 in`, `25 mm`, `3' 6 1/2"` or `40 × 30`,
 * or inside a joint, such as `4 over 3` or `gap 5 | 4`.
 */
const BREAKS =
  / (?<!\d (?=\d+\/\d|(?:mm|cm|m|in|ft|mil|µm|°[CF]|%)(?![\p{L}\p{N}])))(?<!\d' )(?<!× )(?<! (?=×))(?<!\d (?=(?:over|meets|\|) \d))(?<!\d (?:over|meets|\|) (?=\d))(?<!gap (?=\d))/u;

/** The units of a text that stay together on a line: words, and lengths with their unit. */
export const wordsOf = (text: string): readonly string[] => text.split(BREAKS);

/**
 * Breaks text at spaces, and within a word only where the word alone is wider than the line. With `maxLines`, text that
 * does not fit is cut off and the last line ends in '…'.
 */
export function textWrapped(
  fonts: FontMetrics,
  text: string,
  style: TextStyle,
  widthMm: Mm,
  maxLines = Number.POSITIVE_INFINITY,
): WrappedText {
  const fits = (line: string) => fonts.width(line, style.role, style.sizeMm) <= widthMm + 1e-9;
  const lines: string[] = [];
  let line = '';
  for (const word of wordsOf(fonts.printable(text))) {
    // Text that will be cut off is not measured: a pasted page of text costs no more than a line.
    if (lines.length > maxLines) break;
    const longer = line ? `${line} ${word}` : word;
    if (fits(longer)) {
      line = longer;
      continue;
    }
    if (line) lines.push(line);
    const pieces = fits(word) ? [word] : sizeOrWordBroken(word, fits, maxLines + 1);
    lines.push(...pieces.slice(0, -1));
    line = pieces.at(-1) ?? '';
  }
  if (line) lines.push(line);
  if (lines.length <= maxLines) return { lines, isCut: false };
  const kept = lines.slice(0, maxLines);
  kept[maxLines - 1] = lineShortened(itemAt(kept, maxLines - 1), fits);
  return { lines: kept, isCut: true };
}

/** A size wider than its line breaks before its second figure, and inside a figure only as a last resort. */
function sizeOrWordBroken(word: string, fits: (line: string) => boolean, maxPieces: number): string[] {
  const figures = word.split(/(?<=×) /);
  return figures.length > 1 && figures.every(fits) ? figures : brokenWord(word, fits, maxPieces);
}

function brokenWord(word: string, fits: (line: string) => boolean, maxPieces: number): string[] {
  const pieces: string[] = [];
  let rest = [...word];
  while (rest.length > 0 && pieces.length < maxPieces) {
    const count = Math.max(1, longestFitting(rest, fits));
    pieces.push(rest.slice(0, count).join(''));
    rest = rest.slice(count);
  }
  return pieces;
}

/**
 * How many characters from the start still fit. The trial length doubles, then halves, so that long texts cost little.
 */
function longestFitting(characters: readonly string[], fits: (line: string) => boolean): number {
  const isFitting = (count: number) => fits(characters.slice(0, count).join('').trimEnd());
  let tooMany = 1;
  while (tooMany <= characters.length && isFitting(tooMany)) tooMany *= 2;
  let fitting = Math.floor(tooMany / 2);
  tooMany = Math.min(tooMany, characters.length + 1);
  while (tooMany - fitting > 1) {
    const middle = Math.floor((fitting + tooMany) / 2);
    if (isFitting(middle)) fitting = middle;
    else tooMany = middle;
  }
  return fitting;
}

/** The longest beginning that fits with '…' after it. */
function lineShortened(line: string, fits: (line: string) => boolean): string {
  const characters = [...line];
  const count = longestFitting(characters, (start) => fits(`${start}…`));
  return `${characters.slice(0, count).join('').trimEnd()}…`;
}

export interface FittedText {
  readonly style: TextStyle;
  readonly text: string;
  readonly isCut: boolean;
}

/**
 * One line made to fit: first smaller, down to `minSizeMm`, then shortened with '…'. Undefined where not even one
 * character fits.
 */
export function textFitted(
  fonts: FontMetrics,
  text: string,
  style: TextStyle,
  widthMm: Mm,
  minSizeMm: Mm,
): FittedText | undefined {
  const line = fonts.printable(text);
  const natural = fonts.width(line, style.role, style.sizeMm);
  if (natural <= widthMm) return { style, text: line, isCut: false };
  const sizeMm = Math.max(minSizeMm, (style.sizeMm * widthMm) / natural);
  const smaller = { ...style, sizeMm };
  const fits = (candidate: string) => fonts.width(candidate, style.role, sizeMm) <= widthMm + 1e-9;
  if (fits(line)) return { style: smaller, text: line, isCut: false };
  const short = lineShortened(line, fits);
  return short === '…' ? undefined : { style: smaller, text: short, isCut: true };
}

/** Height of a number of lines, from the top of the first to the bottom of the last. */
export const linesHeight = (count: number, sizeMm: Mm): Mm =>
  count === 0 ? 0 : (count - 1) * sizeMm * LINE_PITCH + sizeMm * (TEXT_ASCENT + TEXT_DESCENT);

/** Lines below each other; the top of the first is at `place.at.y`. */
export function textLines(
  fonts: FontMetrics,
  lines: readonly string[],
  style: TextStyle,
  place: TextPlace,
): TextItem[] {
  return lines.map((line, index) =>
    textLine(fonts, line, style, {
      ...place,
      at: {
        x: place.at.x,
        y: place.at.y + style.sizeMm * (TEXT_ASCENT + index * LINE_PITCH),
      },
    }),
  );
}

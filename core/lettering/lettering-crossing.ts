/**
 * What a seam does to lettering: whether cutting it warns, and how much of the price of cutting a line it costs.
 *
 *     const met = letteringCrossings(letterings, { direction: 'vertical', at: 2400, span: { start: 0, end: 2600 } });
 *     const minutes = card.letteringMinutesPerCrossing * met.reduce((sum, { costShare }) => sum + costShare, 0);
 */
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import { type Path, pathRange } from '../measure/path.ts';
import type { Rect } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type Lettering, type LetteringMeaning, letteringMeaning } from './lettering.ts';

/**
 * A shift of a millimeter shows in capitals lower than this. Long trailers are cut through higher ones every day. Common
 * practice, no source.
 */
export const SMALL_CAPITALS_MM: Mm = 150;

/** A seam, or the stretch of one. */
export interface SeamLine {
  readonly direction: 'vertical' | 'horizontal';
  /** x of a vertical seam, y of a horizontal one. */
  readonly at: Mm;
  readonly span: Interval;
  /** Where it runs, if it is not straight at `at`. */
  readonly path?: Path;
}

/** Why a seam through a lettering warns; `large` and `unsure` are the ones that do not. */
export type CrossingReason = LetteringMeaning | 'small' | 'upright-stroke' | 'large' | 'unsure';

export interface LetteringCrossing {
  readonly lettering: Lettering;
  readonly reason: CrossingReason;
  readonly warns: boolean;
  /** Share of what cutting one line costs: all of it where the cut warns, less the higher the letters are elsewhere. */
  readonly costShare: number;
}

/** The letterings that a seam cuts, words alone: between two words it cuts none. */
export function letteringCrossings(letterings: readonly Lettering[], seam: SeamLine): LetteringCrossing[] {
  return letterings
    .filter(({ words }) => words.some((word) => isCut(word, seam)))
    .map((lettering) => {
      const reason = crossingReason(lettering, seam);
      const warns = reason !== 'large' && reason !== 'unsure';
      return { lettering, reason, warns, costShare: warns ? 1 : letteringCostShare(lettering.capHeightMm) };
    });
}

/**
 * The higher the letters, the less a shift shows in them, and the less cutting them costs: half of it at 300 mm.
 * Keeps SP30.
 */
export const letteringCostShare = (capHeightMm: Mm): number => Math.min(1, SMALL_CAPITALS_MM / capHeightMm);

function crossingReason(lettering: Lettering, seam: SeamLine): CrossingReason {
  const meaning = letteringMeaning(lettering);
  if (meaning) return meaning;
  if (!lettering.isSure) return 'unsure';
  if (lettering.capHeightMm < SMALL_CAPITALS_MM) return 'small';
  const isAlong = seam.direction === 'vertical' && lettering.strokes.some((stroke) => isCut(stroke, seam));
  return isAlong ? 'upright-stroke' : 'large';
}

/** Places at which what letteringCrossings says can change, for seams of a direction. */
export function letteringEdges(
  { words, strokes }: Pick<Lettering, 'words' | 'strokes'>,
  direction: SeamLine['direction'],
): Mm[] {
  const boxes = direction === 'vertical' ? [...words, ...strokes] : words;
  return boxes.flatMap((box) => {
    const { start, end } = boxAcross(box, direction);
    return [start, end];
  });
}

/** Places without a word, from `range`, the nearest to a seam first: between words, above, below and beside the lines. */
export function placesBetweenWords(letterings: readonly Lettering[], seam: SeamLine, range: Interval): Mm[] {
  const taken = letterings
    .flatMap(({ words }) => words)
    .filter((word) => isOnSpan(word, seam))
    .map((word) => boxAcross(word, seam.direction))
    .filter(({ end, start }) => end > range.start && start < range.end)
    .sort((a, b) => a.start - b.start);
  const free: Interval[] = [];
  let from = range.start;
  for (const { start, end } of taken) {
    if (start - from >= LEAST_SPACE_MM) free.push({ start: from, end: start });
    from = Math.max(from, end);
  }
  if (range.end - from >= LEAST_SPACE_MM) free.push({ start: from, end: range.end });
  return free
    .map(({ start, end }) => placeIn(start, end, seam.at))
    .sort((a, b) => Math.abs(a - seam.at) - Math.abs(b - seam.at));
}

/** A space that a seam fits into with an error of the hand on both sides. */
const LEAST_SPACE_MM: Mm = 6;
/** As far from a letter as is worth a longer way. */
const CLEAR_OF_LETTERS_MM: Mm = 25;

/** The place in a space that is nearest to the seam, off the letters: in the middle of a narrow space. */
function placeIn(start: Mm, end: Mm, at: Mm): Mm {
  const clear = Math.min(CLEAR_OF_LETTERS_MM, (end - start) / 2);
  const place = Math.min(Math.max(at, start + clear), end - clear);
  const whole = Math.round(place);
  return whole > start && whole < end ? whole : place;
}

const boxAcross = (box: Rect<'finished'>, direction: SeamLine['direction']): Interval =>
  direction === 'vertical'
    ? { start: box.x, end: box.x + box.width }
    : { start: box.y, end: box.y + box.height };

const boxAlong = (box: Rect<'finished'>, direction: SeamLine['direction']): Interval =>
  boxAcross(box, direction === 'vertical' ? 'horizontal' : 'vertical');

function isOnSpan(box: Rect<'finished'>, { direction, span }: SeamLine): boolean {
  const { start, end } = boxAlong(box, direction);
  return Math.min(end, span.end) - Math.max(start, span.start) > LENGTH_TOLERANCE_MM;
}

function isCut(box: Rect<'finished'>, seam: SeamLine): boolean {
  if (!isOnSpan(box, seam)) return false;
  const { start, end } = boxAcross(box, seam.direction);
  const shared = intervalIntersection(boxAlong(box, seam.direction), seam.span);
  const lies = seam.path && shared ? pathRange(seam.path, shared) : { start: seam.at, end: seam.at };
  return start + LENGTH_TOLERANCE_MM < lies.end && lies.start < end - LENGTH_TOLERANCE_MM;
}

/** How much a row of shapes resembles lettering. */

import { itemAt } from '../measure/present.ts';
import { type Letter, type LetterRow, median, tallHeight } from './letter-rows.ts';
import type { Shape } from './stable-shapes.ts';
import type { StrokeForm } from './stroke-form.ts';

/**
 * Features that rows of letters have more or less of than rows of other shapes. The weights were fitted by logistic
 * regression to rows on the marked pages that the finder is tuned on (test/main/artwork/lettering-corpus.test.ts) and
 * on seventy drawn pages: words in eighteen faces, level, turned, sloped and bent, filled, outlined, shadowed, knocked
 * out and faint, among leaves, stars, arrows, tables, waves, bars and signs on flat grounds, blends and photographs.
 */
const WEIGHTS = {
  letters: 0.5,
  isOneShape: 4.86,
  signs: 1.09,
  unlike: 1.3,
  isAlike: -2.48,
  branched: 2.9,
  isCompact: -0.78,
  beside: 1.79,
  aspect: -1.84,
  evenness: 3.74,
  fullness: -2.94,
  blots: -4.53,
  hasTurn: 0.76,
  large: -1.37,
} as const;
const BIAS = -5.97;

type Feature = keyof typeof WEIGHTS;

/** An outline this many times as long as that of its bounding box has bays or holes, as most letters have. */
const BRANCHED_OUTLINE = 1.12;
/** Typical width of a letter divided by its height. */
const LETTER_ASPECT = 0.7;
/** Above this height a page has few letters and many other shapes. */
const LARGE_PX = 100;
/** More letters than this do not make a row more likely. */
const ENOUGH_LETTERS = 8;
const ENOUGH_SIGNS = 10;

/** Confidence from 0 to 1. */
export function rowConfidence(row: LetterRow, formOf: (shape: Shape) => StrokeForm): number {
  const features = rowFeatures(row, formOf);
  const sum = (Object.keys(WEIGHTS) as Feature[]).reduce(
    (all, name) => all + WEIGHTS[name] * features[name],
    BIAS,
  );
  return 1 / (1 + Math.exp(-sum));
}

function rowFeatures(
  { letters }: LetterRow,
  formOf: (shape: Shape) => StrokeForm,
): Readonly<Record<Feature, number>> {
  const forms = letters.map(({ shape }) => formOf(shape));
  const unlike = spread(letters.map(widthOf)) + spread(letters.map(({ shape }) => shape.area));
  const branched = shareOf(letters, ({ shape }) => outlineByBox(shape) > BRANCHED_OUTLINE);
  return {
    letters: Math.log(Math.min(letters.length, ENOUGH_LETTERS)),
    isOneShape: letters.length === 1 ? 1 : 0,
    signs: Math.log(
      Math.min(
        ENOUGH_SIGNS,
        letters.map(signsIn).reduce((sum, signs) => sum + signs, 0),
      ),
    ),
    unlike: Math.min(1, unlike / 0.5),
    // Shapes that are all alike: a row of rivets, windows or arrows.
    isAlike: unlike < 0.05 ? 1 : 0,
    branched,
    isCompact: branched < 0.4 ? 1 : 0,
    beside: beside(letters),
    aspect: Math.abs(Math.log(median(letters.map((each) => widthOf(each) / heightOf(each))) / LETTER_ASPECT)),
    evenness: median(forms.map((form) => form.evenness)),
    fullness: median(forms.map((form) => form.fullness)),
    blots: shareOf(letters, ({ shape }, i) => itemAt(forms, i).fullness < 0.38 && outlineByBox(shape) < 1.25),
    hasTurn: forms.some(({ sameTurned }) => sameTurned < 0.6) ? 1 : 0,
    large: Math.max(0, Math.log(tallHeight(letters) / LARGE_PX)),
  };
}

const heightOf = ({ top, bottom }: Letter): number => bottom - top;
const widthOf = ({ left, right }: Letter): number => right - left;

const outlineByBox = ({ outline, left, right, top, bottom }: Shape): number =>
  outline / (2 * (right - left + bottom - top));

const shareOf = (letters: readonly Letter[], is: (letter: Letter, index: number) => boolean): number =>
  letters.filter(is).length / letters.length;

/** How many letters a shape may be: joined letters count by their width, and each has its strokes. */
const signsIn = (letter: Letter): number =>
  Math.max(1, Math.min(widthOf(letter) / heightOf(letter) / 0.6, letter.strokes / 1.7));

/** Letters are side by side: 1 where none covers another's width, lower where shapes overlap. */
function beside(letters: readonly Letter[]): number {
  const wide = letters.reduce((sum, letter) => sum + widthOf(letter), 0);
  let covered = 0;
  let right = Number.NEGATIVE_INFINITY;
  for (const letter of letters) {
    covered += Math.max(0, letter.right - Math.max(right, letter.left));
    right = Math.max(right, letter.right);
  }
  return Math.min(1, (1.2 * covered) / wide) ** 2;
}

/** Mean distance from the median, relative to the median. */
function spread(values: readonly number[]): number {
  const middle = median(values);
  if (middle === 0) return 0;
  return values.reduce((sum, value) => sum + Math.abs(value - middle), 0) / values.length / middle;
}

import type { Rect } from '../measure/rect.ts';
import type { Shape } from './stable-shapes.ts';

/** A plane of a picture, row by row. */
export interface Plane {
  readonly plane: Uint8Array;
  readonly width: number;
}

/** A vertical stroke covers at least this share of its letter's height without a break. */
const LEAST_RUN = 0.7;
/** A shape wider than this share of the height is a block, not a stroke. */
const MOST_WIDTH = 0.5;

/** The vertical strokes of letters, in pixels: columns inside the letter over most of its height. */
export const uprightStrokes = (
  of: Plane,
  letters: readonly Pick<Shape, 'left' | 'top' | 'right' | 'bottom' | 'isDark'>[],
): Rect[] => letters.flatMap((letter) => letterStrokes(of, letter));

function letterStrokes(
  { plane, width }: Plane,
  { left, top, right, bottom, isDark }: Pick<Shape, 'left' | 'top' | 'right' | 'bottom' | 'isDark'>,
): Rect[] {
  const height = bottom - top;
  let low = 255;
  let high = 0;
  for (let y = top; y < bottom; y++) {
    for (let x = left; x < right; x++) {
      const value = plane[y * width + x]!;
      if (value < low) low = value;
      if (value > high) high = value;
    }
  }
  const middle = (low + high) / 2;
  const isStrokeAt = (x: number): boolean => {
    let run = 0;
    for (let y = top; y < bottom; y++) {
      const isLetter = plane[y * width + x]! < middle === isDark;
      run = isLetter ? run + 1 : 0;
      if (run >= LEAST_RUN * height) return true;
    }
    return false;
  };
  const strokes: Rect[] = [];
  for (let x = left; x < right; x++) {
    if (!isStrokeAt(x)) continue;
    const from = x;
    while (x < right && isStrokeAt(x)) x++;
    if (x - from <= MOST_WIDTH * height) strokes.push({ x: from, y: top, width: x - from, height });
  }
  return strokes;
}

/** The same for text known only by its word boxes: every pixel that differs from the ground belongs to a letter. */
export function wordStrokes(of: Plane & { readonly height: number }, words: readonly Rect[]): Rect[] {
  return words.flatMap((word) => {
    const left = Math.max(0, Math.round(word.x));
    const top = Math.max(0, Math.round(word.y));
    const right = Math.min(of.width, Math.round(word.x + word.width));
    const bottom = Math.min(of.height, Math.round(word.y + word.height));
    if (right - left < 3 || bottom - top < SMALLEST_WORD_PX) return [];
    return letterStrokes(of, { left, top, right, bottom, isDark: isGroundLight(of, left, top, right) });
  });
}

/** In lower words a stroke is a pixel or two wide, too thin to place a seam by. */
const SMALLEST_WORD_PX = 12;

/** Judged by the row above the letters, where word boxes leave room for accents. */
function isGroundLight({ plane, width }: Plane, left: number, top: number, right: number): boolean {
  let sum = 0;
  for (let x = left; x < right; x++) sum += plane[top * width + x]!;
  return sum / (right - left) >= 128;
}

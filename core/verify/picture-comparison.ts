/**
 * Compares two pictures of the same window, pixel by pixel. A renderer mixes the colors at an edge inside a pixel, a
 * little differently in another window; that is not a difference of the artwork. A pixel counts as different when it is
 * outside the range of the other picture's pixel and its neighbors, the mean around it has changed too, and other
 * different pixels are near: a single pixel is a renderer's rounding.
 */

import type { PixelWindow } from './side-grid.ts';
import { byteAt, type VerificationPicture } from './verification-picture.ts';
import type { PictureComparison } from './verification-report.ts';

/** Levels outside its neighborhood's range from which a pixel counts as different. */
const TOLERANCE = 20;
/**
 * Levels by which the mean around it must differ too. A renderer reduces a picture by halves, so the same detail in a
 * cropped picture falls on other pixels, but the mean around it stays.
 */
const MEAN_TOLERANCE = 6;

/** How far the mean extends around a pixel that differs: to its neighbors, as an edge of one pixel does. */
export const EDGE_REACH = 1;
/**
 * The extent of an area that a person can see, used where all other checks say that the panel is right. A renderer
 * reduces a picture in steps that begin at its corner, and a crop has another corner: each line thinner than a pixel
 * comes out darker or lighter, but the mean over a few lines stays.
 */
export const AREA_REACH = 5;

/** How many pixels of the five by five around one, itself included, must differ for it to count: a line, or a spot. */
const TOGETHER = 3;
const AROUND = 2;

/**
 * At most this many pixels, with a small difference, are hairlines and blends that the renderer draws differently in
 * another window. The structure of the file shows a missing object, however small.
 */
const FEW_PIXELS = 32;
const FAINT = 72;

/** A blend comes out a level or two higher or lower in another window. */
const ROUNDING = 2;

export interface ComparedPictures extends PictureComparison {
  /** The mean of the differences above rounding. */
  readonly meanBeyondRounding: number;
  /** How much the whole is lighter or darker, in the channel with the largest change. */
  readonly toneShift: number;
  readonly differingPixels: number;
  /** Box around the pixels that differ. */
  readonly differing: PixelWindow | undefined;
}

/**
 * Compares the pixels of `part`, which both pictures show. `reach`: how far around a pixel the mean must differ for it
 * to count.
 */
export function picturesCompared(
  a: VerificationPicture,
  b: VerificationPicture,
  part: PixelWindow,
  reach = EDGE_REACH,
): ComparedPictures {
  let largest = 0;
  let sum = 0;
  let sumBeyondRounding = 0;
  const tone = [0, 0, 0];
  const suspects = new Map<number, readonly [x: number, y: number, difference: number]>();
  const placeOf = (x: number, y: number) => (y - part.y) * part.width + x - part.x;
  for (let y = part.y; y < part.y + part.height; y++) {
    let inA = byteAt(a, part.x, y);
    let inB = byteAt(b, part.x, y);
    for (let x = part.x; x < part.x + part.width; x++, inA += 4, inB += 4) {
      const difference = pixelDifference(a.rgba, inA, b.rgba, inB);
      if (difference === 0) continue;
      sum += difference;
      for (let channel = 0; channel < 3; channel++) {
        tone[channel]! += a.rgba[inA + channel]! - b.rgba[inB + channel]!;
      }
      if (difference > largest) largest = difference;
      if (difference > ROUNDING) sumBeyondRounding += difference;
      if (difference <= TOLERANCE) continue;
      if (beyondNeighbors(a, inA, b, x, y) <= TOLERANCE && beyondNeighbors(b, inB, a, x, y) <= TOLERANCE)
        continue;
      if (meanDifference(a, b, x, y, EDGE_REACH) <= MEAN_TOLERANCE) continue;
      if (reach > EDGE_REACH && meanDifference(a, b, x, y, reach) <= MEAN_TOLERANCE) continue;
      suspects.set(placeOf(x, y), [x, y, difference]);
    }
  }
  const comparedPixels = part.width * part.height;
  const found = [...suspects.values()].filter(
    ([x, y]) => suspectsAround(suspects, placeOf, part, x, y) >= TOGETHER,
  );
  const isRounding = found.length <= FEW_PIXELS && found.every(([, , difference]) => difference <= FAINT);
  const differing = isRounding ? [] : found;
  const box = new GrowingBox();
  for (const [x, y] of differing) box.add(x, y);
  return {
    largest,
    mean: sum / comparedPixels,
    meanBeyondRounding: sumBeyondRounding / comparedPixels,
    toneShift: Math.max(...tone.map(Math.abs)) / comparedPixels,
    differingShare: differing.length / comparedPixels,
    comparedPixels,
    differingPixels: differing.length,
    differing: box.window,
  };
}

function suspectsAround(
  suspects: ReadonlyMap<number, unknown>,
  placeOf: (x: number, y: number) => number,
  part: PixelWindow,
  x: number,
  y: number,
): number {
  let count = 0;
  for (let row = Math.max(part.y, y - AROUND); row <= y + AROUND && row < part.y + part.height; row++) {
    for (let at = Math.max(part.x, x - AROUND); at <= x + AROUND && at < part.x + part.width; at++) {
      if (suspects.has(placeOf(at, row))) count++;
    }
  }
  return count;
}

/** The comparison in the form that is stored. */
export const comparisonKept = (compared: ComparedPictures): PictureComparison => ({
  largest: compared.largest,
  mean: Math.round(compared.mean * 1e4) / 1e4,
  differingShare: compared.differingShare,
  comparedPixels: compared.comparedPixels,
});

/** The largest difference of any channel. */
function pixelDifference(a: Uint8Array, inA: number, b: Uint8Array, inB: number): number {
  return Math.max(
    Math.abs(a[inA]! - b[inB]!),
    Math.abs(a[inA + 1]! - b[inB + 1]!),
    Math.abs(a[inA + 2]! - b[inB + 2]!),
  );
}

/** How far a pixel of `a` is outside the range of the three by three pixels of `b` around that place. */
function beyondNeighbors(
  a: VerificationPicture,
  inA: number,
  b: VerificationPicture,
  x: number,
  y: number,
): number {
  const { window, rgba } = b;
  const left = Math.max(window.x, x - 1);
  const right = Math.min(window.x + window.width - 1, x + 1);
  const top = Math.max(window.y, y - 1);
  const bottom = Math.min(window.y + window.height - 1, y + 1);
  let beyond = 0;
  for (let channel = 0; channel < 3; channel++) {
    let low = 255;
    let high = 0;
    for (let row = top; row <= bottom; row++) {
      for (let column = left; column <= right; column++) {
        const value = rgba[byteAt(b, column, row) + channel]!;
        if (value < low) low = value;
        if (value > high) high = value;
      }
    }
    const value = a.rgba[inA + channel]!;
    beyond = Math.max(beyond, low - value, value - high);
  }
  return beyond;
}

/** Difference of the means over the pixels up to `reach` from a place, in the channel where it is largest. */
function meanDifference(
  a: VerificationPicture,
  b: VerificationPicture,
  x: number,
  y: number,
  reach: number,
): number {
  const { window } = a;
  const sums = [0, 0, 0];
  let count = 0;
  const right = Math.min(window.x + window.width - 1, x + reach);
  const bottom = Math.min(window.y + window.height - 1, y + reach);
  for (let row = Math.max(window.y, y - reach); row <= bottom; row++) {
    for (let column = Math.max(window.x, x - reach); column <= right; column++) {
      // The two panels of a band have different windows, so a neighbor may be outside one of them.
      if (!isShown(b, column, row)) continue;
      const inA = byteAt(a, column, row);
      const inB = byteAt(b, column, row);
      for (let channel = 0; channel < 3; channel++) {
        sums[channel]! += a.rgba[inA + channel]! - b.rgba[inB + channel]!;
      }
      count++;
    }
  }
  return Math.max(...sums.map(Math.abs)) / count;
}

const isShown = ({ window }: VerificationPicture, x: number, y: number): boolean =>
  x >= window.x && y >= window.y && x < window.x + window.width && y < window.y + window.height;

class GrowingBox {
  #x0 = Number.POSITIVE_INFINITY;
  #y0 = Number.POSITIVE_INFINITY;
  #x1 = Number.NEGATIVE_INFINITY;
  #y1 = Number.NEGATIVE_INFINITY;

  add(x: number, y: number): void {
    this.#x0 = Math.min(this.#x0, x);
    this.#y0 = Math.min(this.#y0, y);
    this.#x1 = Math.max(this.#x1, x + 1);
    this.#y1 = Math.max(this.#y1, y + 1);
  }

  get window(): PixelWindow | undefined {
    if (this.#x1 < this.#x0) return undefined;
    return { x: this.#x0, y: this.#y0, width: this.#x1 - this.#x0, height: this.#y1 - this.#y0 };
  }
}

/** The factor that makes differences of a few levels visible. */
const PICTURE_GAIN = 6;

/**
 * A picture for people: the panel in pale gray, with every difference from the artwork in red. The source shows the
 * panel's window and may show more.
 */
export function differencePicture(
  source: VerificationPicture,
  panel: VerificationPicture,
): VerificationPicture {
  const { window } = panel;
  const rgba = new Uint8Array(window.width * window.height * 4);
  for (let row = 0; row < window.height; row++) {
    let inSource = byteAt(source, window.x, window.y + row);
    let at = row * window.width * 4;
    for (const end = at + window.width * 4; at < end; at += 4, inSource += 4) {
      const gray = 0.3 * panel.rgba[at]! + 0.59 * panel.rgba[at + 1]! + 0.11 * panel.rgba[at + 2]!;
      const pale = 160 + gray * 0.35;
      const red = Math.min(1, (pixelDifference(source.rgba, inSource, panel.rgba, at) * PICTURE_GAIN) / 255);
      rgba[at] = pale + (200 - pale) * red;
      rgba[at + 1] = pale * (1 - red);
      rgba[at + 2] = pale * (1 - red);
      rgba[at + 3] = 255;
    }
  }
  return { window, rgba };
}

/**
 * Measures the displacement between two pictures, to a small part of a pixel: the shift and stretch that best map the
 * first to the second, by least squares over the slopes of brightness, from coarse to fine (the method of Lucas and
 * Kanade, 1981, with four unknowns).
 */

import type { PixelWindow } from './side-grid.ts';
import { brightness, type VerificationPicture } from './verification-picture.ts';

export interface Displacement {
  /** How far the middle of the picture is to the right of and below its place, pixels. */
  readonly dx: number;
  readonly dy: number;
  /** Width and height, as a factor of what they should be. */
  readonly scaleX: number;
  readonly scaleY: number;
  /**
   * The share of the squared difference that remains after the displacement is undone; 1 means that it explains
   * nothing.
   */
  readonly unexplained: number;
}

/** Shift of the middle, and growth per pixel from the middle. */
type Move = readonly [dx: number, dy: number, growX: number, growY: number];

const UNKNOWNS = 4;
const STILL: Move = [0, 0, 0, 0];
const COARSEST_PIXELS = 24;
const STEPS_A_LEVEL = 8;
const SMALLEST_STEP = 1e-3;
/** The least share of the picture that must still be visible after a displacement. */
const LEAST_SEEN = 0.85;

/** Measures the displacement of `picture` against `truth` over a part that both show. */
export function displacement(
  truth: VerificationPicture,
  picture: VerificationPicture,
  part: PixelWindow,
): Displacement {
  const levels: [Plane, Plane][] = [[planeFrom(truth, part), planeFrom(picture, part)]];
  for (const [a, b] of levels) {
    // The list grows during this loop: each level is half the size of the one before.
    if (Math.min(a.width, a.height) >= 2 * COARSEST_PIXELS) levels.push([halved(a), halved(b)]);
  }
  let move = STILL;
  for (const [level, [a, b]] of [...levels.entries()].reverse()) {
    move = moveRefined(a, b, move);
    if (level > 0) move = [move[0] * 2, move[1] * 2, move[2], move[3]];
  }
  const [a, b] = levels[0]!;
  const before = squaredDifference(a, b, STILL);
  return {
    dx: move[0],
    dy: move[1],
    scaleX: 1 + move[2],
    scaleY: 1 + move[3],
    unexplained: before === 0 ? 1 : Math.min(1, squaredDifference(a, b, move) / before),
  };
}

interface Plane {
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
}

/** Slightly smoothed, because the way a renderer mixes the finest detail changes with every part of a pixel. */
function planeFrom(picture: VerificationPicture, part: PixelWindow): Plane {
  const { width, height } = part;
  const values = brightness(picture, part);
  const across = smoothed(values, width * height, 1, (at) => at % width !== 0 && (at + 1) % width !== 0);
  return {
    width,
    height,
    values: smoothed(across, width * height, width, (at) => at >= width && at < width * (height - 1)),
  };
}

/** Adds a quarter of the two neighbors, `step` away, to each value; values at the border stay unchanged. */
function smoothed(
  values: Float32Array,
  count: number,
  step: number,
  isInner: (at: number) => boolean,
): Float32Array {
  const out = new Float32Array(count);
  for (let at = 0; at < count; at++) {
    out[at] = isInner(at) ? (values[at - step]! + 2 * values[at]! + values[at + step]!) / 4 : values[at]!;
  }
  return out;
}

function halved({ width, height, values }: Plane): Plane {
  const half = { width: width >> 1, height: height >> 1 };
  const out = new Float32Array(half.width * half.height);
  for (let y = 0; y < half.height; y++) {
    for (let x = 0; x < half.width; x++) {
      const at = 2 * y * width + 2 * x;
      out[y * half.width + x] =
        (values[at]! + values[at + 1]! + values[at + width]! + values[at + width + 1]!) / 4;
    }
  }
  return { ...half, values: out };
}

/** Repeats Gauss–Newton steps until they become tiny. */
function moveRefined(truth: Plane, picture: Plane, start: Move): Move {
  let move = start;
  for (let i = 0; i < STEPS_A_LEVEL; i++) {
    const step = moveStep(truth, picture, move);
    if (step === undefined) return move;
    const [dx, dy, growX, growY] = step;
    move = [move[0] + dx, move[1] + dy, move[2] + growX, move[3] + growY];
    if (Math.max(Math.abs(dx), Math.abs(dy)) < SMALLEST_STEP) break;
  }
  // A step that increased the difference followed noise.
  return squaredDifference(truth, picture, move) < squaredDifference(truth, picture, start) ? move : start;
}

function moveStep(truth: Plane, picture: Plane, move: Move): Move | undefined {
  const { width, height, values } = truth;
  const sums = Array.from({ length: UNKNOWNS }, () => new Float64Array(UNKNOWNS + 1));
  const row = new Float64Array(UNKNOWNS + 1);
  const [dx, dy, growX, growY] = move;
  for (let y = 1; y < height - 1; y++) {
    const fromMiddleY = y - height / 2;
    for (let x = 1; x < width - 1; x++) {
      const at = y * width + x;
      const slopeX = (values[at + 1]! - values[at - 1]!) / 2;
      const slopeY = (values[at + width]! - values[at - width]!) / 2;
      if (slopeX === 0 && slopeY === 0) continue;
      const fromMiddleX = x - width / 2;
      const seen = pictureAt(picture, x + dx + growX * fromMiddleX, y + dy + growY * fromMiddleY);
      if (Number.isNaN(seen)) continue;
      row[0] = slopeX;
      row[1] = slopeY;
      row[2] = slopeX * fromMiddleX;
      row[3] = slopeY * fromMiddleY;
      row[4] = values[at]! - seen;
      for (let i = 0; i < UNKNOWNS; i++) {
        const sum = sums[i]!;
        const factor = row[i]!;
        for (let j = i; j <= UNKNOWNS; j++) sum[j] = sum[j]! + factor * row[j]!;
      }
    }
  }
  // The matrix of sums is symmetric: the lower half equals the upper.
  for (let i = 1; i < UNKNOWNS; i++) for (let j = 0; j < i; j++) sums[i]![j] = sums[j]![i]!;
  return solved(sums);
}

function squaredDifference(truth: Plane, picture: Plane, move: Move): number {
  const { width, height, values } = truth;
  let sum = 0;
  let count = 0;
  const [dx, dy, growX, growY] = move;
  for (let y = 1; y < height - 1; y++) {
    const atY = y + dy + growY * (y - height / 2);
    for (let x = 1; x < width - 1; x++) {
      const seen = pictureAt(picture, x + dx + growX * (x - width / 2), atY);
      if (Number.isNaN(seen)) continue;
      sum += (values[y * width + x]! - seen) ** 2;
      count++;
    }
  }
  // A move that pushes the differences out of the picture explains nothing.
  return count < LEAST_SEEN * (width - 2) * (height - 2) ? Number.POSITIVE_INFINITY : sum / count;
}

/** The picture's value at a place, interpolated between pixels; NaN outside its border. */
function pictureAt({ width, height, values }: Plane, atX: number, atY: number): number {
  const left = Math.floor(atX);
  const top = Math.floor(atY);
  if (!(left >= 0 && top >= 0 && left < width - 1 && top < height - 1)) return Number.NaN;
  const u = atX - left;
  const v = atY - top;
  const at = top * width + left;
  return (
    (values[at]! * (1 - u) + values[at + 1]! * u) * (1 - v) +
    (values[at + width]! * (1 - u) + values[at + width + 1]! * u) * v
  );
}

/** Gauss elimination with pivots; undefined where the picture has too little detail. */
function solved(rows: Float64Array[]): Move | undefined {
  const n = rows.length;
  for (let column = 0; column < n; column++) {
    let best = column;
    for (let i = column + 1; i < n; i++) {
      if (Math.abs(rows[i]![column]!) > Math.abs(rows[best]![column]!)) best = i;
    }
    [rows[column], rows[best]] = [rows[best]!, rows[column]!];
    const pivot = rows[column]![column]!;
    if (Math.abs(pivot) < 1e-6) return undefined;
    for (let i = 0; i < n; i++) {
      if (i === column) continue;
      const factor = rows[i]![column]! / pivot;
      for (let j = column; j <= n; j++) rows[i]![j] = rows[i]![j]! - factor * rows[column]![j]!;
    }
  }
  const [dx, dy, growX, growY] = rows.map((row, i) => row[n]! / row[i]!);
  return [dx!, dy!, growX!, growY!];
}

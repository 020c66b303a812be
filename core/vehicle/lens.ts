/**
 * Lens distortion in one figure: a point at the distance r from the center of the photo appears at r (1 + bend · r²),
 * with r in half diagonals. Negative is barrel distortion, positive is pincushion.
 */
import type { PlanePoint } from './homography.ts';

export interface Lens {
  readonly bend: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Beyond this the photo is from a fisheye lens, which needs more than one figure. */
export const MOST_BEND = 0.3;
const STEPS = 60;
const NEWTON_STEPS = 12;

const halfDiagonal = ({ widthPx, heightPx }: Lens): number => Math.hypot(widthPx, heightPx) / 2;

/** Where a point of the undistorted photo appears in the real one. */
export function pointSeen(lens: Lens, { x, y }: PlanePoint): PlanePoint {
  const [middleX, middleY] = [lens.widthPx / 2, lens.heightPx / 2];
  const [dx, dy] = [x - middleX, y - middleY];
  const r = Math.hypot(dx, dy) / halfDiagonal(lens);
  const factor = 1 + lens.bend * r * r;
  return { x: middleX + dx * factor, y: middleY + dy * factor };
}

/** Where a point of the real photo is in the undistorted one. */
export function pointIdeal(lens: Lens, { x, y }: PlanePoint): PlanePoint {
  const [middleX, middleY] = [lens.widthPx / 2, lens.heightPx / 2];
  const [dx, dy] = [x - middleX, y - middleY];
  const seen = Math.hypot(dx, dy) / halfDiagonal(lens);
  if (seen === 0) return { x, y };
  let r = seen;
  for (let step = 0; step < NEWTON_STEPS; step++) {
    r -= (r * (1 + lens.bend * r * r) - seen) / (1 + 3 * lens.bend * r * r);
  }
  return { x: middleX + (dx * r) / seen, y: middleY + (dy * r) / seen };
}

/**
 * The bend that straightens lines which are straight on the vehicle, each given by three points or more; 0 without
 * lines.
 */
export function bendFromLines(
  lines: readonly (readonly PlanePoint[])[],
  size: { readonly widthPx: number; readonly heightPx: number },
): number {
  const usable = lines.filter((points) => points.length >= 3);
  if (usable.length === 0) return 0;
  const crookedness = (bend: number): number => {
    const lens = { bend, ...size };
    return usable.reduce(
      (sum, points) => sum + offStraight(points.map((point) => pointIdeal(lens, point))),
      0,
    );
  };
  const step = (2 * MOST_BEND) / STEPS;
  const bends = Array.from({ length: STEPS + 1 }, (_, n) => -MOST_BEND + n * step);
  const best = bends.reduce((a, b) => (crookedness(b) < crookedness(a) ? b : a));
  return least(crookedness, Math.max(-MOST_BEND, best - step), Math.min(MOST_BEND, best + step));
}

/** Golden section: the place of the minimum between two places, if there is only one minimum. */
function least(value: (at: number) => number, from: number, to: number): number {
  const share = (Math.sqrt(5) - 1) / 2;
  let [low, high] = [from, to];
  let [a, b] = [high - share * (high - low), low + share * (high - low)];
  let [valueA, valueB] = [value(a), value(b)];
  while (high - low > 1e-9) {
    if (valueA <= valueB) {
      [high, b, valueB] = [b, a, valueA];
      a = high - share * (high - low);
      valueA = value(a);
    } else {
      [low, a, valueA] = [a, b, valueB];
      b = low + share * (high - low);
      valueB = value(b);
    }
  }
  return (low + high) / 2;
}

/** Sum of the squared distances of points from their best-fitting line, relative to their spread. */
function offStraight(points: readonly PlanePoint[]): number {
  const x = points.reduce((sum, point) => sum + point.x, 0) / points.length;
  const y = points.reduce((sum, point) => sum + point.y, 0) / points.length;
  let [xx, xy, yy] = [0, 0, 0];
  for (const point of points) {
    xx += (point.x - x) ** 2;
    xy += (point.x - x) * (point.y - y);
    yy += (point.y - y) ** 2;
  }
  const half = (xx + yy) / 2;
  if (half === 0) return 0;
  const root = Math.hypot((xx - yy) / 2, xy);
  return (half - root) / (half + root);
}

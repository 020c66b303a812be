import { itemAt } from './present.ts';
import type { Point, Space } from './rect.ts';

/**
 * Points along a cubic Bézier curve, without its first, between which straight lines stay within `slack` of it. A chord
 * over a share h of a curve whose second derivative is at most M is off by at most M h² ÷ 8.
 */
export function pointsAlongCurve<S extends Space>(
  from: Point<S>,
  [first, second]: readonly [Point<S>, Point<S>],
  to: Point<S>,
  slack: number,
): Point<S>[] {
  const bend = (a: Point<S>, b: Point<S>, c: Point<S>) =>
    6 * Math.hypot(a.x - 2 * b.x + c.x, a.y - 2 * b.y + c.y);
  const most = Math.max(bend(from, first, second), bend(first, second, to));
  const count = Math.min(MOST_PIECES, Math.max(1, Math.ceil(Math.sqrt(most / (8 * slack)))));
  return Array.from({ length: count }, (_, index) => {
    if (index === count - 1) return to;
    const t = (index + 1) / count;
    const s = 1 - t;
    const at = (a: number, b: number, c: number, d: number) =>
      s * s * s * a + 3 * s * s * t * b + 3 * s * t * t * c + t * t * t * d;
    return {
      x: at(from.x, first.x, second.x, to.x),
      y: at(from.y, first.y, second.y, to.y),
    } as Point<S>;
  });
}

/** Limits memory for curves in broken files. */
const MOST_PIECES = 2000;

/** The fewest points that keep straight lines between them within `slack` of the omitted points; both ends stay. */
export function pointsSimplified<S extends Space>(
  points: readonly Point<S>[],
  slack: number,
): readonly Point<S>[] {
  const isKept = points.map((_, index) => index === 0 || index === points.length - 1);
  const stretches: [number, number][] = [[0, points.length - 1]];
  for (let stretch = stretches.pop(); stretch; stretch = stretches.pop()) {
    const [first, last] = stretch;
    const [from, to] = [itemAt(points, first), itemAt(points, last)];
    let [worst, at] = [slack, -1];
    for (let index = first + 1; index < last; index++) {
      const { x, y } = itemAt(points, index);
      const off = stretchDistance(x, y, from.x, from.y, to.x, to.y);
      if (off > worst) [worst, at] = [off, index];
    }
    if (at < 0) continue;
    isKept[at] = true;
    stretches.push([first, at], [at, last]);
  }
  return points.filter((_, index) => isKept[index]);
}

/** The distance of (x, y) from a stretch, or from its nearer end where the point is past it. */
export function stretchDistance(
  x: number,
  y: number,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
): number {
  const [dx, dy] = [x1 - x0, y1 - y0];
  const square = dx * dx + dy * dy;
  const share = square === 0 ? 0 : ((x - x0) * dx + (y - y0) * dy) / square;
  const held = Math.min(1, Math.max(0, share));
  return Math.hypot(x - x0 - dx * held, y - y0 - dy * held);
}

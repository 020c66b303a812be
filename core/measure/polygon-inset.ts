/** Shrinks a closed outline by a distance from its edge. */

import { pairsAround, pairsFromLast } from './pairs.ts';
import { polygonFault } from './polygon.ts';
import { itemAt } from './present.ts';
import type { Point } from './rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from './units.ts';

interface Side {
  readonly from: Point;
  /** Unit vector along the edge. */
  readonly along: Point;
}

/**
 * The rest of a polygon after every edge moves inward by `mm`. Corners stay sharp, and an edge that shrinks to nothing
 * disappears. Undefined where no sound polygon remains.
 *
 *     polygonInset of a square of 100 by 8: a square of 84
 */
export function polygonInset(points: readonly Point[], mm: Mm): readonly Point<'finished'>[] | undefined {
  if (mm === 0) return points.map(({ x, y }) => ({ x, y }));
  const way = signedArea(points) > 0 ? 1 : -1;
  let sides: Side[] = pairsAround(points).flatMap(([from, to]): Side[] => {
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    if (length <= LENGTH_TOLERANCE_MM) return [];
    const along = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
    return [{ from: { x: from.x - way * along.y * mm, y: from.y + way * along.x * mm }, along }];
  });
  while (sides.length >= 3) {
    const corners = pairsFromLast(sides).map(([before, side]) => meeting(before, side));
    const kept = sides.filter(({ along }, index) => {
      const [from, to] = [itemAt(corners, index), itemAt(corners, (index + 1) % corners.length)];
      return (to.x - from.x) * along.x + (to.y - from.y) * along.y > LENGTH_TOLERANCE_MM;
    });
    if (kept.length === sides.length)
      return signedArea(corners) * way > 0 && !polygonFault(corners) ? corners : undefined;
    sides = kept;
  }
  return undefined;
}

function signedArea(points: readonly Point[]): number {
  return pairsAround(points).reduce((sum, [from, to]) => sum + (from.x * to.y - to.x * from.y) / 2, 0);
}

/** The point where one line meets the next; where both have one direction, the beginning of the next. */
function meeting(before: Side, { from, along }: Side): Point<'finished'> {
  const turn = before.along.x * along.y - before.along.y * along.x;
  if (Math.abs(turn) < 1e-9) return { x: from.x, y: from.y };
  const run = ((from.x - before.from.x) * along.y - (from.y - before.from.y) * along.x) / turn;
  return { x: before.from.x + before.along.x * run, y: before.from.y + before.along.y * run };
}

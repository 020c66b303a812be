/** Polygons that may be concave or slanted: self-intersection, shared area, and where a line is inside. */
import { type Interval, intervalIntersection, intervalLength } from './interval.ts';
import { isInsidePolygon } from './outline.ts';
import { type Pair, pairsAround, pairsFromLast, pairsInTurn } from './pairs.ts';
import {
  type Path,
  type PathPoint,
  pathDistance,
  pathExtent,
  pathPart,
  pathValue,
  segmentDistance,
} from './path.ts';
import { lastOf } from './present.ts';
import type { Point } from './rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from './units.ts';

type Polygon = readonly Point[];
type Stretch = Pair<Point>;

/** Distance in mm from a directed line, positive to its left. */
function distanceLeft([from, to]: Stretch, at: Point): Mm {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  return (dx * (at.y - from.y) - dy * (at.x - from.x)) / Math.hypot(dx, dy);
}

const isTouching = ([a, b]: Stretch, [c, d]: Stretch): boolean => {
  const side = (mm: Mm) => (mm > LENGTH_TOLERANCE_MM ? 1 : mm < -LENGTH_TOLERANCE_MM ? -1 : 0);
  const overlaps = (p: Mm, q: Mm, r: Mm, s: Mm) =>
    Math.max(p, q) >= Math.min(r, s) && Math.max(r, s) >= Math.min(p, q);
  return (
    overlaps(a.x, b.x, c.x, d.x) &&
    overlaps(a.y, b.y, c.y, d.y) &&
    side(distanceLeft([a, b], c)) * side(distanceLeft([a, b], d)) <= 0 &&
    side(distanceLeft([c, d], a)) * side(distanceLeft([c, d], b)) <= 0
  );
};

/**
 * The first corner of an edge that is too short, turns back on itself, or meets another edge; undefined for a sound
 * outline.
 */
export function polygonFault(points: Polygon): Point | undefined {
  const edges = pairsAround(points);
  for (const [index, [edge, next]] of pairsAround(edges).entries()) {
    const [from, to] = edge;
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    if (length <= LENGTH_TOLERANCE_MM) return from;
    const ahead = ((next[1].x - to.x) * (to.x - from.x) + (next[1].y - to.y) * (to.y - from.y)) / length;
    if (ahead < 0 && Math.abs(distanceLeft(edge, next[1])) <= LENGTH_TOLERANCE_MM) return to;
    const last = index === 0 ? edges.length - 1 : edges.length;
    for (const other of edges.slice(index + 2, last)) if (isTouching(edge, other)) return other[0];
  }
  return undefined;
}

/** Positions along x where the polygon's rim crosses a height, in pairs of in and out. */
export function polygonInsideAt(points: Polygon, y: Mm): readonly Interval[] {
  const xs: Mm[] = [];
  let from = lastOf(points);
  for (const to of points) {
    if (from.y > y !== to.y > y) xs.push(from.x + ((to.x - from.x) * (y - from.y)) / (to.y - from.y));
    from = to;
  }
  xs.sort((a, b) => a - b);
  return pairsInTurn(xs).flatMap(([start, end], index) => (index % 2 === 0 ? [{ start, end }] : []));
}

/** The longest stretch along x inside a polygon. Between the heights of corners, widths change linearly. */
export function polygonLongest(points: Polygon): Mm {
  const lengths = points.flatMap(({ y }) =>
    [y - LENGTH_TOLERANCE_MM, y + LENGTH_TOLERANCE_MM].flatMap((height) =>
      polygonInsideAt(points, height).map(intervalLength),
    ),
  );
  return Math.max(0, ...lengths);
}

/**
 * The area of a polygon that any of the others covers, in mm². Between heights without a corner or a crossing of edges,
 * widths change linearly, so the width in the middle gives the area.
 */
export function polygonCoveredArea(whole: Polygon, others: readonly Polygon[]): number {
  const edges = [whole, ...others].flatMap(pairsAround);
  const heights = edges.flatMap((edge, index) => [
    edge[0].y,
    ...edges.slice(index + 1).flatMap((other) => crossingHeight(edge, other)),
  ]);
  const stops = [...new Set(heights)].toSorted((a, b) => a - b);
  let area = 0;
  for (const [top, bottom] of pairsInTurn(stops)) {
    const y = (top + bottom) / 2;
    const covered = others
      .flatMap((other) => polygonInsideAt(other, y))
      .toSorted((a, b) => a.start - b.start);
    for (const inside of polygonInsideAt(whole, y)) {
      let reached = Number.NEGATIVE_INFINITY;
      for (const { start, end } of covered) {
        const shared = intervalIntersection(inside, {
          start: Math.max(start, reached),
          end: Math.max(end, reached),
        });
        if (shared) area += (shared.end - shared.start) * (bottom - top);
        reached = Math.max(reached, end);
      }
    }
  }
  return area;
}

function crossingHeight(one: Stretch, other: Stretch): readonly Mm[] {
  const [a, b] = one;
  return crossingShare(one, other).map((share) => a.y + (b.y - a.y) * share);
}

/** The share of the first stretch at which the second crosses it. */
function crossingShare([a, b]: Stretch, [c, d]: Stretch): readonly number[] {
  const [abx, aby, cdx, cdy] = [b.x - a.x, b.y - a.y, d.x - c.x, d.y - c.y];
  const turn = abx * cdy - aby * cdx;
  if (turn === 0) return [];
  const share = ((c.x - a.x) * cdy - (c.y - a.y) * cdx) / turn;
  const other = ((c.x - a.x) * aby - (c.y - a.y) * abx) / turn;
  return share >= 0 && share <= 1 && other >= 0 && other <= 1 ? [share] : [];
}

/**
 * The stretches of a path inside a polygon, over a span; a stretch along the rim is not inside. For both, `x` is along
 * and `y` across.
 */
export function pathWithinPolygon(path: Path, span: Interval, polygon: Polygon): readonly Interval[] {
  const part = pathPart(path, span);
  const edges = pairsAround(polygon);
  const corners = part.map(({ along, across }): Point => ({ x: along, y: across }));
  const stops = pairsInTurn(corners).flatMap(([from, to]): Mm[] => {
    const crossings = edges.flatMap((edge) => crossingShare([from, to], edge));
    return [from.x, ...crossings.map((share) => from.x + (to.x - from.x) * share)];
  });
  const places = [...stops, span.end].toSorted((a, b) => a - b);
  const inside: { start: Mm; end: Mm }[] = [];
  for (const [start, end] of pairsInTurn(places)) {
    if (end - start <= LENGTH_TOLERANCE_MM) continue;
    const middle = (start + end) / 2;
    if (!isInsidePolygon({ x: middle, y: pathValue(path, middle) }, polygon)) continue;
    const before = inside.at(-1);
    if (before && start - before.end <= LENGTH_TOLERANCE_MM) before.end = end;
    else inside.push({ start, end });
  }
  return inside;
}

/** The smallest distance of a path from the rim of a polygon whose corners use the same along and across. */
export function polygonPathDistance(corners: readonly PathPoint[], path: Path): Mm {
  const rim = pairsFromLast(corners);
  return Math.min(
    ...corners.map((corner) => pathDistance(path, pathExtent(path), corner)),
    ...path.flatMap((point) => rim.map((segment) => segmentDistance(segment, point))),
  );
}

/** Sharper corners are cut off at this multiple of the distance. */
const MOST_MITER = 3;

/** A closed outline with each edge moved outward; sharp corners are cut short. */
export function polygonGrown(points: Polygon, byMm: Mm): readonly Point[] {
  const corners = pairsFromLast(points)
    .filter(([from, to]) => Math.hypot(to.x - from.x, to.y - from.y) > 1e-6)
    .map(([, corner]) => corner);
  const twice = pairsAround(corners).reduce((sum, [from, to]) => sum + from.x * to.y - to.x * from.y, 0);
  const way = twice > 0 ? 1 : -1;
  // For an edge, y down: to its right where the outline runs counterclockwise.
  const outward = ([from, to]: Stretch): Point => {
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    return { x: (way * (to.y - from.y)) / length, y: (-way * (to.x - from.x)) / length };
  };
  return pairsFromLast(pairsAround(corners)).map(([before, beyond]) => {
    const [{ x, y }] = beyond;
    const [a, b] = [outward(before), outward(beyond)];
    const share = Math.min(MOST_MITER ** 2 / 2, 1 / Math.max(1e-9, 1 + a.x * b.x + a.y * b.y));
    return { x: x + (a.x + b.x) * share * byMm, y: y + (a.y + b.y) * share * byMm };
  });
}

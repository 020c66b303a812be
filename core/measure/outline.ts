/**
 * An area between four edges that may slope and curve: two horizontal and two vertical. Neighboring edges are extended
 * until they meet at a corner.
 */
import type { Interval } from './interval.ts';
import { type Pair, pairsAround, pairsFromLast, pairsInTurn } from './pairs.ts';
import {
  isPathStraight,
  type Path,
  pathCrossings,
  pathExtent,
  pathMoved,
  pathPart,
  pathRange,
  pathValue,
  pointOnAxis,
} from './path.ts';
import { firstOf, lastOf } from './present.ts';
import {
  EDGES,
  type Edge,
  type EdgeLengths,
  type Point,
  type Rect,
  rectBottom,
  rectFromEdges,
  rectHorizontal,
  rectRight,
  rectVertical,
} from './rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from './units.ts';

export type EdgePaths = Readonly<Record<Edge, Path>>;

export interface Outline {
  readonly edges: EdgePaths;
  /** Clockwise from the top left corner. */
  readonly points: readonly Point<'finished'>[];
  /** Bounding rectangle. */
  readonly rect: Rect<'finished'>;
  /** Extent of each edge from corner to corner. */
  readonly spans: Readonly<Record<Edge, Interval>>;
}

/** Undefined where two neighboring edges meet more than once, or opposite edges change places. */
export function outlineFromEdges(edges: EdgePaths): Outline | undefined {
  const corners = [
    pathsCrossing(edges.top, edges.left),
    pathsCrossing(edges.top, edges.right),
    pathsCrossing(edges.bottom, edges.right),
    pathsCrossing(edges.bottom, edges.left),
  ];
  if (corners.some((corner) => corner === undefined)) return undefined;
  const [topLeft, topRight, bottomRight, bottomLeft] = corners as [Point, Point, Point, Point];
  const spans = {
    top: { start: topLeft.x, end: topRight.x },
    right: { start: topRight.y, end: bottomRight.y },
    bottom: { start: bottomLeft.x, end: bottomRight.x },
    left: { start: topLeft.y, end: bottomLeft.y },
  };
  if (Object.values(spans).some(({ start, end }) => end - start <= LENGTH_TOLERANCE_MM)) return undefined;
  // From corner to corner, without the last point, which begins the next edge.
  const along = (edge: Edge): Point<'finished'>[] => {
    const part = pathPart(edges[edge], spans[edge]).map((point) => pointOnAxis(edgeAxis(edge), point));
    if (edge === 'bottom' || edge === 'left') part.reverse();
    part.pop();
    return part;
  };
  const points = [...along('top'), ...along('right'), ...along('bottom'), ...along('left')];
  return { edges, points, rect: pointsHull(points), spans };
}

/** The extent of an edge, of an outline or, without one, of the rectangle. */
export const edgeSpan = (rect: Rect, outline: Outline | undefined, edge: Edge): Interval =>
  outline?.spans[edge] ?? (edgeAxis(edge) === 'horizontal' ? rectHorizontal(rect) : rectVertical(rect));

export const edgeAxis = (edge: Edge) => (edge === 'top' || edge === 'bottom' ? 'horizontal' : 'vertical');

/** Bounding rectangle of all points; without points, an empty one. */
export function pointsHull(points: readonly Point[]): Rect<'finished'> {
  let [left, top] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  let [right, bottom] = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const { x, y } of points) {
    left = Math.min(left, x);
    top = Math.min(top, y);
    right = Math.max(right, x);
    bottom = Math.max(bottom, y);
  }
  return rectFromEdges(left, top, right, bottom);
}

/** The single point where a horizontal path meets a vertical one; undefined where they meet more than once. */
export function pathsCrossing(lying: Path, upright: Path): Point<'finished'> | undefined {
  const [{ across: y }, { across: x }] = [firstOf(lying), firstOf(upright)];
  if (isPathStraight(lying)) return { x: pathValue(upright, y), y };
  if (isPathStraight(upright)) return { x, y: pathValue(lying, x) };
  // How far the vertical path at y is below the horizontal one: linear between these places, and running from −∞ to ∞.
  // They can meet only where the horizontal one is.
  const below = (at: Mm) => at - pathValue(lying, pathValue(upright, at));
  const down = pathRange(lying, pathExtent(lying));
  const across = pathRange(upright, down);
  const stops = [
    ...pathPart(upright, down).map(({ along }) => along),
    ...pathPart(lying, across).flatMap(({ along }) => pathCrossings(upright, along, down)),
  ].toSorted((a, b) => a - b);
  const found: Mm[] = [];
  const [top, bottom] = [firstOf(stops), lastOf(stops)];
  if (below(top) > 0) found.push(top - below(top));
  for (const [from, to] of pairsInTurn(stops)) {
    const [a, b] = [below(from), below(to)];
    if (a <= 0 && b > 0) found.push(from + ((to - from) * a) / (a - b));
    else if (a > 0 && b <= 0) found.push(from + ((to - from) * a) / (a - b));
  }
  if (below(bottom) <= 0) found.push(bottom - below(bottom));
  const [only, second] = found;
  return only === undefined || second !== undefined ? undefined : { x: pathValue(upright, only), y: only };
}

/** The straight edges of a rectangle. */
export const rectEdgePaths = (rect: Rect): EdgePaths => ({
  top: [{ along: 0, across: rect.y }],
  right: [{ along: 0, across: rectRight(rect) }],
  bottom: [{ along: 0, across: rectBottom(rect) }],
  left: [{ along: 0, across: rect.x }],
});

/** Positions of the edges where all are straight; undefined otherwise. */
export function straightEdges(edges: EdgePaths): EdgeLengths | undefined {
  if (!EDGES.every((edge) => isPathStraight(edges[edge]))) return undefined;
  const at = (edge: Edge) => firstOf(edges[edge]).across;
  return { top: at('top'), right: at('right'), bottom: at('bottom'), left: at('left') };
}

/** Each edge moved outward, across its axis. */
export const edgesGrown = (edges: EdgePaths, by: EdgeLengths): EdgePaths => ({
  top: pathMoved(edges.top, { across: -by.top }),
  right: pathMoved(edges.right, { across: by.right }),
  bottom: pathMoved(edges.bottom, { across: by.bottom }),
  left: pathMoved(edges.left, { across: -by.left }),
});

/** By the shoelace formula, in mm². */
export function polygonArea(points: readonly Point[]): number {
  let twice = 0;
  for (const [from, to] of pairsAround(points)) twice += from.x * to.y - to.x * from.y;
  return Math.abs(twice) / 2;
}

/** The part of a polygon inside a rectangle; parts of a concave polygon may be connected by lines without area. */
export function polygonClipped(points: readonly Point[], rect: Rect): readonly Point[] {
  const cuts: readonly ((p: Point) => number)[] = [
    ({ x }) => x - rect.x,
    ({ x }) => rectRight(rect) - x,
    ({ y }) => y - rect.y,
    ({ y }) => rectBottom(rect) - y,
  ];
  return cuts.reduce<readonly Point[]>(
    (left, inside) =>
      pairsFromLast(left).flatMap(([from, to]) => {
        const [a, b] = [inside(from), inside(to)];
        const share = a / (a - b);
        const crossing = { x: from.x + (to.x - from.x) * share, y: from.y + (to.y - from.y) * share };
        if (a < 0) return b < 0 ? [] : [crossing, to];
        return b < 0 ? [crossing] : [to];
      }),
    points,
  );
}

/** Whether two polygons share area; touching is not enough. */
export function isPolygonOverlapping(a: readonly Point[], b: readonly Point[]): boolean {
  const middle = ([from, to]: Stretch): Point => ({ x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 });
  const reaches = (one: readonly Point[], other: readonly Point[]) =>
    [...one, ...pairsFromLast(one).map(middle)].some((point) => isInsidePolygon(point, other));
  const crosses = pairsFromLast(a).some((one) => pairsFromLast(b).some((other) => isCrossing(one, other)));
  return crosses || reaches(a, b) || reaches(b, a);
}

/** Above 0 to the left of a directed line. */
const turn = (from: Point, to: Point, at: Point): number =>
  (to.x - from.x) * (at.y - from.y) - (to.y - from.y) * (at.x - from.x);

type Stretch = Pair<Point>;

function isCrossing([a, b]: Stretch, [c, d]: Stretch): boolean {
  // Areas in mm²: a smaller one counts as touching.
  const side = (value: number) => (value > 1e-3 ? 1 : value < -1e-3 ? -1 : 0);
  return side(turn(a, b, c)) * side(turn(a, b, d)) < 0 && side(turn(c, d, a)) * side(turn(c, d, b)) < 0;
}

/** Whether a point is inside and farther from the edge than a tolerance. */
export function isInsidePolygon(at: Point, polygon: readonly Point[]): boolean {
  let isInside = false;
  let from = lastOf(polygon);
  for (const to of polygon) {
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    const share = ((at.x - from.x) * (to.x - from.x) + (at.y - from.y) * (to.y - from.y)) / length ** 2;
    const held = Math.min(1, Math.max(0, share));
    const away = Math.hypot(at.x - from.x - (to.x - from.x) * held, at.y - from.y - (to.y - from.y) * held);
    if (away <= 1e-4) return false;
    if (
      from.y > at.y !== to.y > at.y &&
      at.x < from.x + ((to.x - from.x) * (at.y - from.y)) / (to.y - from.y)
    ) {
      isInside = !isInside;
    }
    from = to;
  }
  return isInside;
}

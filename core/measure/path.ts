/**
 * Lines with shape. A path has one place across for each place along: it never turns back along its axis. Between its
 * points it runs straight; before the first and beyond the last it goes on along its axis.
 *
 *     across            ┌── 870 ─────      points (400, 820), (1400, 870): at 900 along it is
 *        │      ______/                    at 845 across, at 100 at 820, at 3000 at 870
 *        ▼  ── 820
 *              400    1400  ── along ──▶
 */
import { stretchDistance } from './flat-curve.ts';
import type { Interval } from './interval.ts';
import { pairsInTurn } from './pairs.ts';
import { firstOf, lastOf, present } from './present.ts';
import type { Point } from './rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from './units.ts';

export interface PathPoint {
  readonly along: Mm;
  readonly across: Mm;
}

/** One point at least; places along rise. */
export type Path = readonly PathPoint[];

export const straightPath = (across: Mm): Path => [{ along: 0, across }];

export const isPathStraight = (path: Path): boolean =>
  path.every(({ across }) => Math.abs(across - firstOf(path).across) <= LENGTH_TOLERANCE_MM);

/** From the first point to the last. */
export const pathExtent = (path: Path): Interval => ({ start: firstOf(path).along, end: lastOf(path).along });

export const pathEnds = (path: Path): readonly [PathPoint, PathPoint] => [firstOf(path), lastOf(path)];

export function pathValue(path: Path, along: Mm): Mm {
  const next = indexBeyond(path, along);
  const [from, to] = [path[next - 1], path[next]];
  if (!from || !to) return present(from ?? to, 'The place of a path without points').across;
  return from.across + ((to.across - from.across) * (along - from.along)) / (to.along - from.along);
}

/** The index of the first point that is beyond a place; the number of points where none is. */
function indexBeyond(path: Path, along: Mm): number {
  let [low, high] = [0, path.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    const point = path[middle];
    if (point && point.along > along) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** The stretch of a path over a span, with a point at each end of it. */
export function pathPart(path: Path, { start, end }: Interval): Path {
  // Most edges are straight: what has one point is not searched.
  if (path.length === 1) {
    const { across } = firstOf(path);
    return [
      { along: start, across },
      { along: end, across },
    ];
  }
  return [
    { along: start, across: pathValue(path, start) },
    ...path.filter(({ along }) => along > start && along < end),
    { along: end, across: pathValue(path, end) },
  ];
}

/** From the least to the greatest place across, over a span. */
export function pathRange(path: Path, span: Interval): Interval {
  let [start, end] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const { across } of pathPart(path, span)) {
    start = Math.min(start, across);
    end = Math.max(end, across);
  }
  return { start, end };
}

export const pathLength = (path: Path, span: Interval): Mm =>
  pairsInTurn(pathPart(path, span)).reduce(
    (sum, [from, to]) => sum + Math.hypot(to.along - from.along, to.across - from.across),
    0,
  );

/** The mean place across, over a span. */
export function pathMean(path: Path, span: Interval): Mm {
  const length = span.end - span.start;
  if (length <= 0) return pathValue(path, span.start);
  const area = pairsInTurn(pathPart(path, span)).reduce(
    (sum, [from, to]) => sum + ((from.across + to.across) / 2) * (to.along - from.along),
    0,
  );
  return area / length;
}

export const pathMoved = (path: Path, by: { readonly along?: Mm; readonly across?: Mm }): Path =>
  path.map(({ along, across }) => ({ along: along + (by.along ?? 0), across: across + (by.across ?? 0) }));

/** Where a path crosses a place across, over a span: the places along, rising. */
export function pathCrossings(path: Path, across: Mm, span: Interval): readonly Mm[] {
  return pairsInTurn(pathPart(path, span)).flatMap(([from, to]) => {
    const [a, b] = [from.across - across, to.across - across];
    if (a === b || a > 0 === b > 0) return [];
    return [from.along + ((to.along - from.along) * a) / (a - b)];
  });
}

/** The stretches of a path over a span that lie within an interval across. */
export function pathPartsWithin(path: Path, span: Interval, across: Interval): readonly Path[] {
  const stops = [
    span.start,
    ...[across.start, across.end].flatMap((value) => pathCrossings(path, value, span)),
    span.end,
  ].toSorted((a, b) => a - b);
  return pairsInTurn(stops).flatMap(([start, end]): Path[] => {
    const middle = pathValue(path, (start + end) / 2);
    const isWithin = end - start > LENGTH_TOLERANCE_MM && middle > across.start && middle < across.end;
    return isWithin ? [pathPart(path, { start, end })] : [];
  });
}

export type Axis = 'horizontal' | 'vertical';

export const pointOnAxis = (axis: Axis, { along, across }: PathPoint): Point<'finished'> =>
  axis === 'vertical' ? { x: across, y: along } : { x: along, y: across };

export const pointFromAxis = (axis: Axis, { x, y }: Point): PathPoint =>
  axis === 'vertical' ? { along: y, across: x } : { along: x, across: y };

/** The least distance of a point from a path over a span, square to the path. */
export function pathDistance(path: Path, span: Interval, at: PathPoint): Mm {
  return Math.min(...pairsInTurn(pathPart(path, span)).map((segment) => segmentDistance(segment, at)));
}

export const segmentDistance = (
  [from, to]: readonly [PathPoint, PathPoint],
  { along, across }: PathPoint,
): Mm => stretchDistance(along, across, from.along, from.across, to.along, to.across);

/** The fewest points of a path between which straight lines stay within `slackMm` across; the ends stay. */
export function pathSimplified(path: Path, slackMm: Mm): Path {
  if (path.length < 3) return path;
  const chord = pathEnds(path);
  let [worst, at] = [slackMm, 0];
  for (const [index, { along, across }] of path.entries()) {
    const off = Math.abs(across - pathValue(chord, along));
    if (off > worst) [worst, at] = [off, index];
  }
  if (at === 0) return chord;
  return [
    ...pathSimplified(path.slice(0, at + 1), slackMm).slice(0, -1),
    ...pathSimplified(path.slice(at), slackMm),
  ];
}

/** An arc over a chord, `riseMm` off it in the middle, in straight pieces within half a millimeter of the arc. */
export function arcPath({ start, end }: Interval, across: Mm, riseMm: Mm): Path {
  const half = (end - start) / 2;
  const rise = Math.abs(riseMm);
  if (rise <= LENGTH_TOLERANCE_MM) return [start, end].map((along) => ({ along, across }));
  const radius = (half ** 2 + rise ** 2) / (2 * rise);
  const angle = Math.asin(Math.min(1, half / radius));
  // A chord of an arc is radius · (1 − cos(step / 2)) off it.
  const step = 2 * Math.acos(Math.max(0, 1 - FLAT_MM / radius));
  const count = Math.max(2, Math.ceil((2 * angle) / step));
  return Array.from({ length: count + 1 }, (_, index) => {
    const turn = -angle + (2 * angle * index) / count;
    const off = radius * (Math.cos(turn) - 1) + rise;
    return { along: start + half + radius * Math.sin(turn), across: across + Math.sign(riseMm) * off };
  });
}

const FLAT_MM = 0.5;

export interface DrawnPath {
  readonly axis: Axis;
  readonly path: Path;
}

/** Shorter pieces of a drawn line are left out. */
export const LEAST_PIECE_MM: Mm = 50;
/** The run along of a step across. */
const STEP_RUN_MM: Mm = 1;

/** A stretch that was drawn along one axis, in the order in which it was drawn. */
interface DrawnPiece {
  readonly axis: Axis;
  /** 1 where it runs toward greater places along, else -1. */
  readonly way: number;
  readonly points: Point[];
  /** Whether points of it may lie at one place along. */
  readonly hasSteps?: boolean;
}

/**
 * A line drawn point by point, divided where it turns back. Each piece runs along the axis that it follows more: a
 * closed outline gives its four edges. A step straight across stays in its line where the line continues the same way
 * behind it.
 */
export function pathsFromPoints(points: readonly Point[]): readonly DrawnPath[] {
  const pieces: DrawnPiece[] = [];
  for (const [from, to] of pairsInTurn(points)) {
    const [dx, dy] = [to.x - from.x, to.y - from.y];
    if (Math.hypot(dx, dy) <= LENGTH_TOLERANCE_MM) continue;
    const piece = pieces.at(-1);
    const lengthways = piece && (piece.axis === 'horizontal' ? dx : dy);
    // A piece continues while it runs forward along its axis.
    if (piece && lengthways !== undefined && lengthways * piece.way > 0 && isWithin60(piece.axis, dx, dy)) {
      piece.points.push(to);
      continue;
    }
    const axis: Axis = Math.abs(dx) >= Math.abs(dy) ? 'horizontal' : 'vertical';
    pieces.push({ axis, way: Math.sign(axis === 'horizontal' ? dx : dy), points: [from, to] });
  }
  return withSteps(pieces).flatMap(({ axis, way, points: own, hasSteps }) => {
    const path = own.map((point) => pointFromAxis(axis, point));
    const rising = hasSteps ? pathFromTable(path) : way > 0 ? path : path.toReversed();
    const { start, end } = pathExtent(rising);
    return end - start >= LEAST_PIECE_MM ? [{ axis, path: rising }] : [];
  });
}

/** Two runs of one way and the step between them, shorter than both, are one piece. */
function withSteps(pieces: readonly DrawnPiece[]): readonly DrawnPiece[] {
  const joined: DrawnPiece[] = [];
  for (const piece of pieces) {
    const [before, step] = joined.slice(-2);
    if (before && step && isStep(before, step, piece)) {
      const points = [...before.points, ...step.points.slice(1), ...piece.points.slice(1)];
      joined.splice(-2, 2, { ...before, points, hasSteps: true });
    } else joined.push(piece);
  }
  return joined;
}

function isStep(before: DrawnPiece, step: DrawnPiece, after: DrawnPiece): boolean {
  if (before.axis === step.axis || before.axis !== after.axis || before.way !== after.way) return false;
  const along = step.points.map((point) => pointFromAxis(before.axis, point).along);
  const isForward = pairsInTurn(along).every(([from, to]) => (to - from) * before.way >= 0);
  return isForward && runOfPiece(step) < Math.min(runOfPiece(before), runOfPiece(after));
}

function runOfPiece({ axis, points }: DrawnPiece): Mm {
  const along = (point: Point) => pointFromAxis(axis, point).along;
  return Math.abs(along(lastOf(points)) - along(firstOf(points)));
}

/** Steeper stretches belong to the other axis. */
const isWithin60 = (axis: Axis, dx: Mm, dy: Mm): boolean => {
  const [along, across] = axis === 'horizontal' ? [dx, dy] : [dy, dx];
  return Math.abs(across) <= Math.sqrt(3) * Math.abs(along);
};

/** Points in order along, those at one place set a run apart. A table may begin at either end. */
export function pathFromTable(points: Path): Path {
  const isBackward = points.length > 0 && lastOf(points).along < firstOf(points).along;
  const rising = (isBackward ? points.toReversed() : points).toSorted((a, b) => a.along - b.along);
  const path: PathPoint[] = [];
  for (const point of rising) {
    const before = path.at(-1)?.along ?? Number.NEGATIVE_INFINITY;
    path.push(point.along - before < STEP_RUN_MM ? { ...point, along: before + STEP_RUN_MM } : point);
  }
  return path;
}

/**
 * A line from a table of its points, in the order in which it runs, steps included: along `wanted` where it can run along
 * that, else along the axis on which it is longer. Undefined where its points turn back, repeat or are too near.
 */
export function lineFromTable(points: readonly Point[], wanted?: Axis): DrawnPath | undefined {
  const steps = (path: Path) => pairsInTurn(path).map(([from, to]) => to.along - from.along);
  const isRepeated = pairsInTurn(points).some(
    ([from, to]) => Math.hypot(to.x - from.x, to.y - from.y) <= LENGTH_TOLERANCE_MM,
  );
  if (isRepeated) return undefined;
  const possible = (['horizontal', 'vertical'] as const).flatMap((axis) => {
    const path = points.map((point) => pointFromAxis(axis, point));
    const ways = new Set(steps(path).map(Math.sign));
    if (ways.has(1) && ways.has(-1)) return [];
    const { start, end } = pathExtent(pathFromTable(path));
    return end - start >= LEAST_PIECE_MM ? [{ axis, path: pathFromTable(path), length: end - start }] : [];
  });
  return possible.find(({ axis }) => axis === wanted) ?? possible.toSorted((a, b) => b.length - a.length)[0];
}

/** The steepest rise across for each millimeter along, over a span: 0.5 is 26.6° to the axis. */
export function pathSteepness(path: Path, span: Interval): number {
  return Math.max(
    0,
    ...pairsInTurn(pathPart(path, span)).map(([from, to]) =>
      to.along > from.along ? Math.abs((to.across - from.across) / (to.along - from.along)) : 0,
    ),
  );
}

/** How far `after` is beyond `before` across where they come nearest to each other across, over a span; below 0 where they cross. */
export function pathsGap(before: Path, after: Path, span: Interval): Mm {
  const places = [...pathPart(before, span), ...pathPart(after, span)].map(({ along }) => along);
  return Math.min(...places.map((along) => pathValue(after, along) - pathValue(before, along)));
}

/** By how much `a` is beyond `b` across, over a span: from the least to the most. */
export function pathsDifference(a: Path, b: Path, span: Interval): Interval {
  return { start: pathsGap(b, a, span), end: -pathsGap(a, b, span) };
}

/** The least distance between two paths of one axis, over a span. */
export function pathsDistance(a: Path, b: Path, span: Interval): Mm {
  const [first, second] = [pathPart(a, span), pathPart(b, span)];
  return Math.min(
    ...first.map((point) =>
      Math.min(...pairsInTurn(second).map((segment) => segmentDistance(segment, point))),
    ),
    ...second.map((point) =>
      Math.min(...pairsInTurn(first).map((segment) => segmentDistance(segment, point))),
    ),
  );
}

/** How far `a` is beyond `b` across, as a path over a span. */
export function pathsApart(a: Path, b: Path, span: Interval): Path {
  const places = new Set([...pathPart(a, span), ...pathPart(b, span)].map(({ along }) => along));
  return [...places]
    .sort((one, other) => one - other)
    .map((along) => ({ along, across: pathValue(a, along) - pathValue(b, along) }));
}

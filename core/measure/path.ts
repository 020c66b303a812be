/**
 * Lines with shape. A path has exactly one position across for each position along its axis, so it never turns back. It
 * is straight between its points, and parallel to its axis before the first and after the last point.
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

/** At least one point, in increasing order along the axis. */
export type Path = readonly PathPoint[];

export const straightPath = (across: Mm): Path => [{ along: 0, across }];

export const isPathStraight = (path: Path): boolean =>
  path.every(({ across }) => Math.abs(across - firstOf(path).across) <= LENGTH_TOLERANCE_MM);

/** The extent from the first point to the last. */
export const pathExtent = (path: Path): Interval => ({ start: firstOf(path).along, end: lastOf(path).along });

export const pathEnds = (path: Path): readonly [PathPoint, PathPoint] => [firstOf(path), lastOf(path)];

export function pathValue(path: Path, along: Mm): Mm {
  const next = indexBeyond(path, along);
  const [from, to] = [path[next - 1], path[next]];
  if (!from || !to) return present(from ?? to, 'The place of a path without points').across;
  return from.across + ((to.across - from.across) * (along - from.along)) / (to.along - from.along);
}

/** The index of the first point past a position; the number of points where there is none. */
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

/** The part of a path over a span, with a point at each end. */
export function pathPart(path: Path, { start, end }: Interval): Path {
  // Most edges are straight, so a path with one point is not searched.
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

/** The range of a path across its axis, over a span. */
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

/** The mean position across, over a span. */
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

/** Where a path crosses a position across, over a span: positions along, increasing. */
export function pathCrossings(path: Path, across: Mm, span: Interval): readonly Mm[] {
  return pairsInTurn(pathPart(path, span)).flatMap(([from, to]) => {
    const [a, b] = [from.across - across, to.across - across];
    if (a === b || a > 0 === b > 0) return [];
    return [from.along + ((to.along - from.along) * a) / (a - b)];
  });
}

/** The stretches of a path, over a span, inside an interval across. */
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

/** The distance of a point from a path over a span, perpendicular to the path. */
export function pathDistance(path: Path, span: Interval, at: PathPoint): Mm {
  return Math.min(...pairsInTurn(pathPart(path, span)).map((segment) => segmentDistance(segment, at)));
}

export const segmentDistance = (
  [from, to]: readonly [PathPoint, PathPoint],
  { along, across }: PathPoint,
): Mm => stretchDistance(along, across, from.along, from.across, to.along, to.across);

/** The fewest points of a path that keep straight lines between them within `slackMm` across; both ends stay. */
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

/**
 * An arc over a chord, rising `riseMm` from it in the middle, as straight pieces within half a millimeter of the arc.
 */
export function arcPath({ start, end }: Interval, across: Mm, riseMm: Mm): Path {
  const half = (end - start) / 2;
  const rise = Math.abs(riseMm);
  if (rise <= LENGTH_TOLERANCE_MM) return [start, end].map((along) => ({ along, across }));
  const radius = (half ** 2 + rise ** 2) / (2 * rise);
  const angle = Math.asin(Math.min(1, half / radius));
  // The distance between an arc and its chord is radius · (1 − cos(step / 2)).
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

/** Shorter pieces of a drawn line are dropped. */
export const LEAST_PIECE_MM: Mm = 50;
/** Length along the axis that a step across gets. */
const STEP_RUN_MM: Mm = 1;

/** A stretch drawn along one axis, in drawing order. */
interface DrawnPiece {
  readonly axis: Axis;
  /** 1 where it runs in increasing direction along its axis, else -1. */
  readonly way: number;
  readonly points: Point[];
  /** Whether several points may have the same position along. */
  readonly hasSteps?: boolean;
}

/**
 * A line drawn point by point, divided where it turns back. Each piece uses the axis that it follows more, so a closed
 * outline gives its four edges. A step straight across stays in its line where the line continues in the same direction
 * after it.
 */
export function pathsFromPoints(points: readonly Point[]): readonly DrawnPath[] {
  const pieces: DrawnPiece[] = [];
  for (const [from, to] of pairsInTurn(points)) {
    const [dx, dy] = [to.x - from.x, to.y - from.y];
    if (Math.hypot(dx, dy) <= LENGTH_TOLERANCE_MM) continue;
    const piece = pieces.at(-1);
    const lengthways = piece && (piece.axis === 'horizontal' ? dx : dy);
    // A piece continues while it moves forward along its axis.
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

/** Joins two stretches in one direction and the step between them, if the step is shorter than both. */
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

/**
 * Points in increasing order along; points at one position are set STEP_RUN_MM apart. A table may begin at either end.
 */
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
 * Makes a line from a table of its points in order, steps included. It uses the axis `wanted` where possible, else the
 * axis on which it is longer. Undefined where points turn back, repeat or are too near.
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

/** The steepest rise across per millimeter along, over a span: 0.5 is 26.6° to the axis. */
export function pathSteepness(path: Path, span: Interval): number {
  return Math.max(
    0,
    ...pairsInTurn(pathPart(path, span)).map(([from, to]) =>
      to.along > from.along ? Math.abs((to.across - from.across) / (to.along - from.along)) : 0,
    ),
  );
}

/** Smallest distance across from `before` to `after`, over a span; negative where they cross. */
export function pathsGap(before: Path, after: Path, span: Interval): Mm {
  const places = [...pathPart(before, span), ...pathPart(after, span)].map(({ along }) => along);
  return Math.min(...places.map((along) => pathValue(after, along) - pathValue(before, along)));
}

/** Range of the distance across from `b` to `a`, over a span: least and greatest. */
export function pathsDifference(a: Path, b: Path, span: Interval): Interval {
  return { start: pathsGap(b, a, span), end: -pathsGap(a, b, span) };
}

/** The smallest distance between two paths of one axis, over a span. */
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

/** The distance across from `b` to `a`, as a path over a span. */
export function pathsApart(a: Path, b: Path, span: Interval): Path {
  const places = new Set([...pathPart(a, span), ...pathPart(b, span)].map(({ along }) => along));
  return [...places]
    .sort((one, other) => one - other)
    .map((along) => ({ along, across: pathValue(a, along) - pathValue(b, along) }));
}

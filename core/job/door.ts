/** Doors, and the edges of their gaps: they hide seams as body lines do. */
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import {
  type EdgePaths,
  edgeAxis,
  type Outline,
  outlineFromEdges,
  pointsHull,
  rectEdgePaths,
} from '../measure/outline.ts';
import {
  isPathStraight,
  type Path,
  pathExtent,
  pathMean,
  pathMoved,
  pathPart,
  pathsFromPoints,
  pointFromAxis,
} from '../measure/path.ts';
import { firstOf } from '../measure/present.ts';
import { EDGES, type Edge, type Point, type Rect } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { bodyLineExtent, lineFromPath, lineShapeMirrored } from './body-line.ts';
import { linePath } from './line-path.ts';
import type { BodyLine, Door, DoorEdge, Joint, SeamDirection, Side } from './schema.ts';

type Gap = Door['gap'];

export const doorEdgePaths = ({ top, right, bottom, left }: Gap): EdgePaths => ({
  top: linePath(top),
  right: linePath(right),
  bottom: linePath(bottom),
  left: linePath(left),
});

/** The outline of a door's gap; undefined where its edges do not meet at four corners, which a sound job excludes. */
export const doorOutline = ({ gap }: Pick<Door, 'gap'>): Outline | undefined =>
  outlineFromEdges(doorEdgePaths(gap));

export const doorLineId = (doorId: string, edge: Edge): string => `${doorId}-${edge}`;

/** The four edges of a door's gap as body lines, in the order of EDGES, each from corner to corner. */
export function doorLines(door: Door): readonly BodyLine[] {
  const known = linesOfDoor.get(door);
  if (known) return known;
  const lines = doorLinesMade(door);
  linesOfDoor.set(door, lines);
  return lines;
}

/** Cached by door, so that the lines of an unchanged door stay the same objects. */
const linesOfDoor = new WeakMap<Door, readonly BodyLine[]>();

function doorLinesMade(door: Door): readonly BodyLine[] {
  const outline = doorOutline(door);
  if (!outline) return [];
  return EDGES.map((edge): BodyLine => {
    const { atMm, shape } = door.gap[edge];
    const { start, end } = outline.spans[edge];
    const common = {
      id: doorLineId(door.id, edge),
      name: `${door.name}, ${edge} edge`,
      kind: 'body-gap',
      direction: edgeAxis(edge),
      atMm,
    } as const;
    if (!shape) return { ...common, extent: { fromMm: start, toMm: end } };
    const part = pathMoved(pathPart(outline.edges[edge], { start, end }), { across: -atMm });
    return { ...common, shape: part.map(({ along, across }) => ({ alongMm: along, offMm: across })) };
  });
}

/** The door with an edge changed to match this line, if the line is one of its edges. */
export function doorWithLine(door: Door, { id, atMm, shape }: BodyLine): Door {
  const edge = EDGES.find((each) => doorLineId(door.id, each) === id);
  return edge ? { ...door, gap: { ...door.gap, [edge]: { atMm, ...(shape && { shape }) } } } : door;
}

/** A new door: hinged at its front edge, with film around its edges. */
export const doorNew = (gap: Gap, { front }: Pick<Side, 'front'>): Omit<Door, 'id'> => ({
  name: 'Door',
  gap,
  motion: { kind: 'hinged', at: front === 'none' ? 'left' : front },
  isEdgeWrapped: true,
});

/** The gap with the edges of a handle dragged by a distance. */
export const doorGapPulled = (gap: Gap, edges: readonly Edge[], by: Point): Gap =>
  doorGapFrom((edge) =>
    edges.includes(edge)
      ? { ...gap[edge], atMm: gap[edge].atMm + pointFromAxis(edgeAxis(edge), by).across }
      : gap[edge],
  );

/** Lines that seams may be on or follow: the body lines of a side, then the edges of its doors. */
export const sideLines = ({
  bodyLines,
  doors = [],
}: Pick<Side, 'bodyLines' | 'doors'>): readonly BodyLine[] =>
  doors.length === 0 ? bodyLines : [...bodyLines, ...doors.flatMap(doorLines)];

/** A gap made edge by edge. */
export const doorGapFrom = (make: (edge: Edge) => DoorEdge): Gap => ({
  top: make('top'),
  right: make('right'),
  bottom: make('bottom'),
  left: make('left'),
});

export interface SeamAtGap {
  readonly direction: SeamDirection;
  readonly joint: Pick<Joint, 'atMm' | 'shape' | 'follows'>;
  /** The stretch in question, along the line's direction. */
  readonly span: Interval;
}

/**
 * The doors with a gap at a seam, beside part of its stretch: the seam is on a straight edge, or follows a shaped one.
 */
export const doorsAtSeam = ({ doors = [] }: Pick<Side, 'doors'>, seam: SeamAtGap): readonly Door[] =>
  doors.filter((door) => doorLines(door).some((line) => isOnLine(line, seam)));

function isOnLine(line: BodyLine, { direction, joint, span }: SeamAtGap): boolean {
  const isOn = line.shape ? joint.follows === line.id : line.direction === direction && !joint.shape;
  if (!isOn || Math.abs(line.atMm - joint.atMm) > LENGTH_TOLERANCE_MM) return false;
  const extent = bodyLineExtent(line);
  return !extent || intervalIntersection(extent, span) !== undefined;
}

/** Whether a seam is on a gap of the body or of a door: film is never installed across one. */
export const isSeamAtGap = (side: Pick<Side, 'bodyLines' | 'doors'>, seam: SeamAtGap): boolean =>
  sideLines(side).some((line) => line.kind === 'body-gap' && isOnLine(line, seam));

/** The kind of a moved seam: an overlap on a gap becomes a body-gap seam, and the reverse off the gap. */
export function kindMoved(
  side: Pick<Side, 'bodyLines' | 'doors'>,
  { joint: before, ...seam }: Omit<SeamAtGap, 'joint'> & { readonly joint: Joint },
  after: SeamAtGap['joint'],
): Joint['kind'] {
  const [wasAt, isAt] = [before, after].map((joint) => isSeamAtGap(side, { ...seam, joint }));
  if (before.kind === 'butt' || wasAt === isAt) return before.kind;
  return isAt ? 'gap' : 'lap';
}

/** The gap of a door from a rectangle. */
export const doorGapFromRect = (rect: Rect): Gap =>
  doorGapFrom((edge) => ({ atMm: firstOf(rectEdgePaths(rect)[edge]).across }));

/**
 * The gap of a door from a drawn or traced outline, which is divided at its corners. Each edge takes its longest piece;
 * an edge without a piece is where the outline extends farthest.
 */
export function doorGapFromPoints(points: readonly Point<'finished'>[]): Gap {
  const rect = pointsHull(points);
  const plain = doorGapFromRect(rect);
  const middle = { x: rect.x + rect.width / 2, y: rect.y + rect.height / 2 };
  const longest = new Map<Edge, Path>();
  for (const { axis, path } of pathsFromPoints(pointsAllRound(points, rect))) {
    const mean = pathMean(path, pathExtent(path));
    const edge: Edge =
      axis === 'horizontal' ? (mean < middle.y ? 'top' : 'bottom') : mean < middle.x ? 'left' : 'right';
    if (runOf(path) > runOf(longest.get(edge))) longest.set(edge, path);
  }
  return doorGapFrom((edge) => {
    const path = longest.get(edge);
    if (!path) return plain[edge];
    return isPathStraight(path) ? { atMm: firstOf(path).across } : lineFromPath(path);
  });
}

const runOf = (path: Path | undefined): number => {
  if (!path) return 0;
  const { start, end } = pathExtent(path);
  return end - start;
};

/** Starts at the top left corner and returns to it, so that no edge is split. */
function pointsAllRound(points: readonly Point[], { x, y }: Point): readonly Point[] {
  const away = points.map((point) => Math.hypot(point.x - x, point.y - y));
  const first = away.indexOf(Math.min(...away));
  const round = [...points.slice(first), ...points.slice(0, first)];
  return [...round, firstOf(round)];
}

/** Swaps left and right. */
export const edgeMirrored = (edge: Edge): Edge =>
  edge === 'left' ? 'right' : edge === 'right' ? 'left' : edge;

/** A mirrored door; its handle stays the same no-film area. */
export function doorMirrored<T extends Omit<Door, 'id'>>(door: T, axis: Mm): T {
  const { gap, motion } = door;
  return {
    ...door,
    gap: doorGapFrom((edge) => {
      const { atMm, shape } = gap[edgeMirrored(edge)];
      const direction = edgeAxis(edge);
      return {
        atMm: direction === 'vertical' ? axis - atMm : atMm,
        ...(shape && { shape: lineShapeMirrored(shape, direction, axis) }),
      };
    }),
    motion:
      motion.kind === 'hinged'
        ? { ...motion, at: edgeMirrored(motion.at) }
        : { ...motion, toward: edgeMirrored(motion.toward) },
  };
}

/** A door moved on its side. */
export const doorGapMoved = (gap: Gap, by: Point): Gap =>
  doorGapFrom((edge) => {
    const { atMm, shape } = gap[edge];
    const { along, across } = pointFromAxis(edgeAxis(edge), by);
    return {
      atMm: atMm + across,
      ...(shape && { shape: shape.map((point) => ({ ...point, alongMm: point.alongMm + along })) }),
    };
  });

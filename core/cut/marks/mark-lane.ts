import { type Item, type Turn, turnDirection } from '../../drawing/drawing.ts';
import { itemMoved } from '../../drawing/moved-item.ts';
import { type Interval, intervalLength } from '../../measure/interval.ts';
import { type Edge, type Point, type Rect, rectBottom, rectRight } from '../../measure/rect.ts';
import type { Mm } from '../../measure/units.ts';

/** Marks keep this distance from the printed image and from the edge of the film, or a sixth of a thin border. */
const CLEAR_MM: Mm = 2;
/** A thinner border has no room for even a tick. */
const MIN_BORDER_MM: Mm = 2;
/** Space between two marks at one edge. */
const GAP_MM: Mm = 8;

/**
 * The unprinted border along one edge of a panel, as a line of places for marks. `u` runs along the edge, `v` across
 * it, so that a mark is arranged once and serves all four edges:
 *
 *     top, bottom   u ──▶        left, right   ▲ u
 *                   │                          │
 *                   ▼ v                        └──▶ v
 *
 * Text on the left and right reads from bottom to top.
 */
export interface MarkLane {
  readonly edge: Edge;
  /** The part of the border that marks may cover, in film space. */
  readonly rect: Rect<'film'>;
  readonly lengthMm: Mm;
  readonly depthMm: Mm;
  readonly isTurned: boolean;
  /** Stretches in use, unsorted. */
  readonly taken: readonly Interval[];
}

/**
 * The four lanes of a border. Top and bottom include the corners; left and right run between them, a little past the
 * printed image, because a seam may be exactly at its edge. An edge without a border has no lane.
 */
export function markLanes(film: Rect<'film'>, printed: Rect<'film'>): MarkLane[] {
  const borders: Record<Edge, Mm> = {
    top: printed.y - film.y,
    bottom: rectBottom(film) - rectBottom(printed),
    left: printed.x - film.x,
    right: rectRight(film) - rectRight(printed),
  };
  return (['top', 'bottom', 'left', 'right'] as const).flatMap((edge): MarkLane[] => {
    const border = borders[edge];
    const clear = Math.min(CLEAR_MM, border / 6);
    const depth = border - 2 * clear;
    if (border < MIN_BORDER_MM) return [];
    const isTurned = edge === 'left' || edge === 'right';
    const rect: Rect<'film'> = isTurned
      ? {
          x: (edge === 'left' ? film.x : rectRight(printed)) + clear,
          y: printed.y - 0.75 * clear,
          width: depth,
          height: printed.height + 1.5 * clear,
        }
      : {
          x: film.x + clear,
          y: (edge === 'top' ? film.y : rectBottom(printed)) + clear,
          width: film.width - 2 * clear,
          height: depth,
        };
    const lengthMm = isTurned ? rect.height : rect.width;
    return lengthMm > 0 ? [{ edge, rect, lengthMm, depthMm: depth, isTurned, taken: [] }] : [];
  });
}

/** The position along the lane of a point of the film. */
export const lanePosition = (lane: MarkLane, at: Point<'film'>): Mm =>
  lane.isTurned ? rectBottom(lane.rect) - at.y : at.x - lane.rect.x;

/** A point of the lane in film space. */
export function filmFromLane(lane: MarkLane, u: Mm, v: Mm): Point<'film'> {
  return lane.isTurned
    ? { x: lane.rect.x + v, y: rectBottom(lane.rect) - u }
    : { x: lane.rect.x + u, y: lane.rect.y + v };
}

/** The direction of film space as (u, v), so that an arrow on a turned lane still points up. */
export function laneDirection(lane: MarkLane, direction: Point): { u: number; v: number } {
  return lane.isTurned ? { u: -direction.y, v: direction.x } : { u: direction.x, v: direction.y };
}

/** Moves an item from (u, v) coordinates to its place on the film, starting at `u0`. */
export function itemOnLane(lane: MarkLane, u0: Mm, item: Item): Item {
  const moved = itemMoved(item, {
    point: ({ x, y }) => filmFromLane(lane, u0 + x, y),
    rect: (rect) => rectOnLane(lane, u0, rect),
  });
  return moved.kind === 'text' ? { ...moved, turn: turnOnLane(lane, moved.turn) } : moved;
}

function rectOnLane(lane: MarkLane, u0: Mm, { x, y, width, height }: Rect): Rect {
  const [a, b] = [filmFromLane(lane, u0 + x, y), filmFromLane(lane, u0 + x + width, y + height)];
  return {
    x: Math.min(a.x, b.x),
    y: Math.min(a.y, b.y),
    width: Math.abs(b.x - a.x),
    height: Math.abs(b.y - a.y),
  };
}

function turnOnLane(lane: MarkLane, turn: Turn): Turn {
  if (!lane.isTurned) return turn;
  const { x, y } = turnDirection(turn);
  return x === 1 ? 90 : x === -1 ? 270 : y === -1 ? 180 : 0;
}

export function laneWithTaken(lane: MarkLane, stretch: Interval): MarkLane {
  return { ...lane, taken: [...lane.taken, stretch] };
}

/** Free stretches, already reduced by the gap to their neighbors, longest first. */
export function freeStretches(lane: MarkLane, within?: Interval): Interval[] {
  const start = Math.max(0, within?.start ?? 0);
  const end = Math.min(lane.lengthMm, within?.end ?? lane.lengthMm);
  const free: Interval[] = [];
  let from = start;
  for (const used of lane.taken.toSorted((a, b) => a.start - b.start)) {
    if (used.start - GAP_MM > from) free.push({ start: from, end: Math.min(end, used.start - GAP_MM) });
    from = Math.max(from, used.end + GAP_MM);
  }
  if (end > from) free.push({ start: from, end });
  return free
    .filter((stretch) => intervalLength(stretch) > 0)
    .sort((a, b) => intervalLength(b) - intervalLength(a));
}

/** The start of a free stretch of this length, as near as possible to the wanted middle; undefined: no room. */
export function laneSlot(lane: MarkLane, lengthMm: Mm, middle: Mm, within?: Interval): Mm | undefined {
  const starts = freeStretches(lane, within)
    .filter((stretch) => intervalLength(stretch) >= lengthMm)
    .map((stretch) => Math.min(Math.max(middle - lengthMm / 2, stretch.start), stretch.end - lengthMm));
  return starts.sort((a, b) => Math.abs(a + lengthMm / 2 - middle) - Math.abs(b + lengthMm / 2 - middle))[0];
}

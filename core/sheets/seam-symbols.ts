import { BLACK, type Item, PAPER, type Stroke } from '../drawing/drawing.ts';
import type { Seam } from '../layout/panel.ts';
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import { pairsInTurn } from '../measure/pairs.ts';
import { type PathPoint, pathPart, pathPartsWithin, straightPath } from '../measure/path.ts';
import { type Point, type Rect, rectHorizontal, rectVertical } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

const TOOTH_PITCH_MM: Mm = 5;
const TOOTH_MM: Mm = 1.7;
const TAG = 'seam';

/** A drawn seam: a stretch on the sheet, and the direction of its teeth. */
export interface SeamStroke {
  /** Two, or more where it slopes or curves. */
  readonly points: readonly Point[];
  readonly joint: Seam['joint'];
  /** Unit vector toward the panel on top. */
  readonly over: Point;
}

/** A seam on the border of two parts belongs to the part that ends there. */
export const isShownAt = (at: Mm, across: Interval): boolean =>
  at > across.start + 1e-6 && at <= across.end + 1e-6;

/**
 * The visible stretches of a seam, or of its part `along`, inside the part of the side that `picture` shows at
 * 1:`oneTo`: none if it is outside, several if a seam with shape leaves that part and returns.
 */
export function seamStrokes(
  seam: Seam,
  frame: Rect,
  picture: Rect,
  oneTo: number,
  along: Interval = seam.span,
): readonly SeamStroke[] {
  const isVertical = seam.direction === 'vertical';
  const [across, lengthways] = isVertical
    ? [rectHorizontal(frame), rectVertical(frame)]
    : [rectVertical(frame), rectHorizontal(frame)];
  const visible = intervalIntersection(along, lengthways);
  if (!visible) return [];
  const way = seam.top === 'first' ? -1 : 1;
  const point = (place: PathPoint): Point => {
    const at = (place.across - across.start) / oneTo;
    const run = (place.along - lengthways.start) / oneTo;
    return isVertical ? { x: picture.x + at, y: picture.y + run } : { x: picture.x + run, y: picture.y + at };
  };
  const parts = seam.path
    ? pathPartsWithin(seam.path, visible, across)
    : isShownAt(seam.at, across)
      ? [pathPart(straightPath(seam.at), visible)]
      : [];
  return parts.map((part) => ({
    points: part.map(point),
    joint: seam.joint,
    over: isVertical ? { x: way, y: 0 } : { x: 0, y: way },
  }));
}

/**
 * Lap: a heavy line with teeth on the panel on top. Butt: two fine lines, edge to edge. Break: two dashed lines with
 * paper between, a gap. The shapes are distinct on any printer. Keeps SH5.
 */
export function seamItems({ points, joint, over }: SeamStroke): Item[] {
  const line = (offset: Mm, stroke: Stroke): Item => {
    const moved = points.map(({ x, y }) => ({ x: x + over.x * offset, y: y + over.y * offset }));
    const [from, to, third] = moved;
    return from && to && !third
      ? { kind: 'line', tag: TAG, from, to, stroke }
      : { kind: 'polygon', tag: TAG, points: moved, isOpen: true, stroke };
  };
  switch (joint) {
    case 'lap':
      return [
        line(0, { widthMm: 1, black: 0 }),
        line(0, { widthMm: 0.7, black: 1 }),
        ...pairsInTurn(points).flatMap(([from, to]) => teeth(from, to, over)),
      ];
    case 'butt':
      return [
        line(0, { widthMm: 1, black: 0 }),
        line(-0.5, { widthMm: 0.25, black: 1 }),
        line(0.5, { widthMm: 0.25, black: 1 }),
      ];
    case 'gap': {
      const dashed: Stroke = { widthMm: 0.5, black: 1, dashMm: [3, 1.2] };
      return [line(0, { widthMm: 1, black: 0 }), line(-0.8, dashed), line(0.8, dashed)];
    }
  }
}

function teeth(from: Point, to: Point, over: Point): Item[] {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  if (length === 0) return [];
  const count = Math.max(1, Math.floor(length / TOOTH_PITCH_MM));
  const along = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
  const half = Math.min(TOOTH_MM * 0.7, length / 2);
  return Array.from({ length: count }, (_, index): Item => {
    const middle = ((index + 0.5) / count) * length;
    const at = (run: Mm, rise: Mm): Point => ({
      x: from.x + along.x * run + over.x * rise,
      y: from.y + along.y * run + over.y * rise,
    });
    return {
      kind: 'polygon',
      tag: TAG,
      points: [at(middle - half, 0), at(middle, TOOTH_MM), at(middle + half, 0)],
      fill: BLACK,
      stroke: { widthMm: 0.13, black: PAPER.black },
    };
  });
}

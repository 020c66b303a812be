import { type Interval, intervalIntersection } from './interval.ts';
import { itemAt } from './present.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from './units.ts';

declare const space: unique symbol;

/**
 * Drawn: mm on the artwork page. Finished: mm on the vehicle. Film: mm on one panel's film.
 * All have their origin top left and y pointing down.
 */
export type Space = 'drawn' | 'finished' | 'film';

/**
 * A rectangle in one of the spaces.
 *
 *     (x, y) ──── width ────┐
 *       │                   │ height     x to the right, y down, millimeters
 *       └───────────────────┘
 */
export interface Rect<S extends Space = Space> {
  readonly x: Mm;
  readonly y: Mm;
  readonly width: Mm;
  readonly height: Mm;
  readonly [space]?: S;
}

export interface Point<S extends Space = Space> {
  readonly x: Mm;
  readonly y: Mm;
  readonly [space]?: S;
}

export const EDGES = ['top', 'right', 'bottom', 'left'] as const;
export type Edge = (typeof EDGES)[number];
/** One length per edge, such as bleed or border, in mm. */
export type EdgeLengths = Readonly<Record<Edge, Mm>>;

export const edgeLengthsAll = (length: Mm): EdgeLengths => ({
  top: length,
  right: length,
  bottom: length,
  left: length,
});

export const rectRight = (r: Rect): Mm => r.x + r.width;
export const rectBottom = (r: Rect): Mm => r.y + r.height;
/** The rectangle after the film, `width` wide, is flipped from left to right. */
export const rectMirrored = <S extends Space>(r: Rect<S>, width: Mm): Rect<S> => ({
  ...r,
  x: width - rectRight(r),
});
export const rectArea = (r: Rect): number => r.width * r.height;
export const rectHorizontal = (r: Rect): Interval => ({ start: r.x, end: rectRight(r) });
export const rectVertical = (r: Rect): Interval => ({ start: r.y, end: rectBottom(r) });

export function rectFromEdges<S extends Space>(left: Mm, top: Mm, right: Mm, bottom: Mm): Rect<S> {
  return { x: left, y: top, width: right - left, height: bottom - top };
}

export const rectFromIntervals = <S extends Space>(horizontal: Interval, vertical: Interval): Rect<S> =>
  rectFromEdges<S>(horizontal.start, vertical.start, horizontal.end, vertical.end);

/** The rectangle with each edge moved outward by its length (inward where negative). */
export function rectGrown<S extends Space>(r: Rect<S>, by: EdgeLengths): Rect<S> {
  return rectFromEdges<S>(r.x - by.left, r.y - by.top, rectRight(r) + by.right, rectBottom(r) + by.bottom);
}

/** Clockwise from the top left corner. */
export const rectPoints = <S extends Space>(r: Rect<S>): readonly Point<S>[] => [
  { x: r.x, y: r.y },
  { x: rectRight(r), y: r.y },
  { x: rectRight(r), y: rectBottom(r) },
  { x: r.x, y: rectBottom(r) },
];

/** Bounding rectangle of both. */
export const rectHull = <S extends Space>(a: Rect<S>, b: Rect<S>): Rect<S> =>
  rectFromEdges(
    Math.min(a.x, b.x),
    Math.min(a.y, b.y),
    Math.max(rectRight(a), rectRight(b)),
    Math.max(rectBottom(a), rectBottom(b)),
  );

/** The shared area, or undefined where there is none (touching edges share none). */
export function rectIntersection<S extends Space>(a: Rect<S>, b: Rect<S>): Rect<S> | undefined {
  const horizontal = intervalIntersection(rectHorizontal(a), rectHorizontal(b));
  const vertical = intervalIntersection(rectVertical(a), rectVertical(b));
  return horizontal && vertical ? rectFromIntervals<S>(horizontal, vertical) : undefined;
}

/** Whether `inner` is in `outer`; shared edges count as inside. */
export function isRectWithin<S extends Space>(inner: Rect<S>, outer: Rect<S>): boolean {
  const slack = LENGTH_TOLERANCE_MM;
  return (
    inner.x >= outer.x - slack &&
    inner.y >= outer.y - slack &&
    rectRight(inner) <= rectRight(outer) + slack &&
    rectBottom(inner) <= rectBottom(outer) + slack
  );
}

/** How far `a` extends past `b` at each edge, 0 where it does not. */
export function rectExcess<S extends Space>(a: Rect<S>, b: Rect<S>): EdgeLengths {
  const over = (length: Mm): Mm => (length > LENGTH_TOLERANCE_MM ? length : 0);
  return {
    top: over(b.y - a.y),
    right: over(rectRight(a) - rectRight(b)),
    bottom: over(rectBottom(a) - rectBottom(b)),
    left: over(b.x - a.x),
  };
}

/** Area covered by any of the rectangles, overlaps counted once, in mm². */
export const rectsUnionArea = (rects: readonly Rect[]): number =>
  rectsApart(rects).reduce((sum, rect) => sum + rectArea(rect), 0);

/** Rectangles without overlaps that cover the same area as the given ones, as vertical strips. */
export function rectsApart(rects: readonly Rect[]): readonly Rect[] {
  const xs = [...new Set(rects.flatMap((r) => [r.x, rectRight(r)]))].sort((a, b) => a - b);
  const apart: Rect[] = [];
  for (const [index, left] of xs.slice(0, -1).entries()) {
    const right = itemAt(xs, index + 1);
    const inStrip = rects.filter((r) => r.x <= left && rectRight(r) >= right).sort((a, b) => a.y - b.y);
    let reached = Number.NEGATIVE_INFINITY;
    for (const r of inStrip) {
      const top = Math.max(reached, r.y);
      if (rectBottom(r) > top) apart.push(rectFromEdges(left, top, right, rectBottom(r)));
      reached = Math.max(reached, rectBottom(r));
    }
  }
  return apart;
}

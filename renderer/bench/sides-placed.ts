/** Where each side is on the bench: one alone at the origin, or all of them one below the other. */
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { itemAt } from '../../core/measure/present.ts';
import { type Point, type Rect, rectBottom, rectGrown, rectRight } from '../../core/measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../../core/measure/units.ts';

export interface PlacedSide {
  readonly layout: SideLayout;
  /** The corner of the side on the bench. */
  readonly at: Point;
}

/** Room between two sides, as a share of the longest one. */
const GAP_SHARE = 0.09;

/** The outline with everything that is printed or left as border around it. */
export function sideExtent(layout: SideLayout, borderMm: Mm): Rect {
  const { bleed } = layout.side;
  return rectGrown(layout.outline, {
    top: bleed.top + borderMm,
    right: bleed.right + borderMm,
    bottom: bleed.bottom + borderMm,
    left: bleed.left + borderMm,
  });
}

/** Arranges sides in rows so that all are as large as possible on a canvas of this shape (width ÷ height). */
export function sidesPlaced(
  layouts: readonly SideLayout[],
  borderMm: Mm,
  canvasShape: number,
): readonly PlacedSide[] {
  const extents = layouts.map((layout) => sideExtent(layout, borderMm));
  const widest = Math.max(0, ...extents.map(({ width }) => width));
  const gap = widest * GAP_SHARE;
  // Rows end where a side would reach beyond the limit; each number of sides in the first row is tried.
  const limits = extents.map((_, index) =>
    Math.max(
      widest,
      extents.slice(0, index + 1).reduce((sum, { width }) => sum + width + gap, -gap),
    ),
  );
  const tried = limits.map((limit) => rowsPlaced(layouts, extents, limit, gap));
  const sizeNeeded = (placed: readonly PlacedSide[]): number => {
    const { width, height } = placedExtent(placed, borderMm);
    return Math.max(width, height * canvasShape);
  };
  return tried.toSorted((a, b) => sizeNeeded(a) - sizeNeeded(b))[0] ?? [];
}

function rowsPlaced(
  layouts: readonly SideLayout[],
  extents: readonly Rect[],
  limit: Mm,
  gap: Mm,
): readonly PlacedSide[] {
  const placed: PlacedSide[] = [];
  let [x, y, rowHeight] = [0, 0, 0];
  for (const [index, layout] of layouts.entries()) {
    const extent = itemAt(extents, index);
    if (x > 0 && x + extent.width > limit + LENGTH_TOLERANCE_MM) {
      y += rowHeight + gap;
      [x, rowHeight] = [0, 0];
    }
    placed.push({ layout, at: { x: x - extent.x, y: y - extent.y } });
    x += extent.width + gap;
    rowHeight = Math.max(rowHeight, extent.height);
  }
  return placed;
}

/** The smallest rectangle around all of them; a square meter where there are none. */
export function placedExtent(placed: readonly PlacedSide[], borderMm: Mm): Rect {
  return rectsAround(placed.map((side) => rectOnBench(side, sideExtent(side.layout, borderMm))));
}

export function rectsAround(rects: readonly Rect[]): Rect {
  if (rects.length === 0) return { x: 0, y: 0, width: 1000, height: 1000 };
  const x = Math.min(...rects.map((rect) => rect.x));
  const y = Math.min(...rects.map((rect) => rect.y));
  return {
    x,
    y,
    width: Math.max(...rects.map(rectRight)) - x,
    height: Math.max(...rects.map(rectBottom)) - y,
  };
}

export const rectOnBench = ({ at }: Pick<PlacedSide, 'at'>, rect: Rect): Rect => ({
  ...rect,
  x: rect.x + at.x,
  y: rect.y + at.y,
});

export const pointOnSide = ({ at }: Pick<PlacedSide, 'at'>, point: Point): Point<'finished'> => ({
  x: point.x - at.x,
  y: point.y - at.y,
});

/** The side under a point of the bench, its bleed and border included. */
export function sideAtPoint(
  placed: readonly PlacedSide[],
  point: Point,
  borderMm: Mm,
): PlacedSide | undefined {
  return placed.find((side) => {
    const extent = rectOnBench(side, sideExtent(side.layout, borderMm));
    return (
      point.x >= extent.x &&
      point.x <= rectRight(extent) &&
      point.y >= extent.y &&
      point.y <= rectBottom(extent)
    );
  });
}

/** A picture on the bench: a stretch of an artwork page, enlarged by `scale` with its origin at `at`. */
export interface PlacedPicture {
  readonly page: number;
  /** What is shown of the page. */
  readonly shown: Rect<'drawn'>;
  /** The origin of drawn space on the bench. */
  readonly at: Point;
  readonly scale: number;
}

/** The artwork under a side, only as far as panels may print. */
export function sidePicture({ layout, at }: PlacedSide, scale: number): PlacedPicture | undefined {
  const { side, artwork } = layout;
  if (!artwork || side.page === undefined) return undefined;
  const origin = rectFromStored<'drawn'>(side.artworkRect);
  const { bleed } = side;
  return {
    page: side.page,
    shown: rectGrown(origin, {
      top: bleed.top / scale,
      right: bleed.right / scale,
      bottom: bleed.bottom / scale,
      left: bleed.left / scale,
    }),
    at: { x: at.x - origin.x * scale, y: at.y - origin.y * scale },
    scale,
  };
}

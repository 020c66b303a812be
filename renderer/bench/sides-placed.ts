/** Where each side lies on the bench: one alone at the origin, or all of them one below the other. */
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { type Point, type Rect, rectBottom, rectGrown, rectRight } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';

export interface PlacedSide {
  readonly layout: SideLayout;
  /** Where the corner of the side lies on the bench. */
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

/**
 * Lays sides out in rows no wider than the widest of them, so that a rear end stands beside a bonnet and not in
 * a column of its own.
 */
export function sidesPlaced(layouts: readonly SideLayout[], borderMm: Mm): readonly PlacedSide[] {
  const extents = layouts.map((layout) => sideExtent(layout, borderMm));
  const widest = Math.max(0, ...extents.map(({ width }) => width));
  const gap = widest * GAP_SHARE;
  const placed: PlacedSide[] = [];
  let [x, y, rowHeight] = [0, 0, 0];
  for (const [index, layout] of layouts.entries()) {
    const extent = extents[index]!;
    if (x > 0 && x + extent.width > widest) {
      y += rowHeight + gap;
      [x, rowHeight] = [0, 0];
    }
    placed.push({ layout, at: { x: x - extent.x, y: y - extent.y } });
    x += extent.width + gap;
    rowHeight = Math.max(rowHeight, extent.height);
  }
  return placed;
}

/** The smallest rectangle around all of them; a square metre where there are none. */
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
  /** Where the origin of drawn space lies on the bench. */
  readonly at: Point;
  readonly scale: number;
}

/** The artwork under a side: as far as panels may print, no further. */
export function sidePicture({ layout, at }: PlacedSide, scale: number): PlacedPicture | undefined {
  const { side, artwork } = layout;
  if (!artwork) return undefined;
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

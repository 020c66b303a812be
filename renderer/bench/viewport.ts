/**
 * What part of the bench the window shows. The bench is a plane in finished mm with sides or an artwork page on it; the
 * screen is in CSS pixels, both with their origin top left and y down. Pure: no DOM.
 *
 * ```ts
 * const content = { x: 0, y: 0, width: 6000, height: 2000 };
 * const size = { widthPx: 800, heightPx: 600 };
 * const view = viewportFitted(content, size, 100);
 * view; // → { xMm: -1000, yMm: -2000, pxPerMm: 0.1 }
 * mmFromPx(view, { xPx: 400, yPx: 300 }); // → { x: 3000, y: 1000 }
 * viewportZoomed(view, 2, { xPx: 400, yPx: 300 }, { content, size }); // → { xMm: 1000, yMm: -500, pxPerMm: 0.2 }
 * ```
 */
import { type Point, type Rect, rectBottom, rectRight } from '../../core/measure/rect.ts';
import { MM_PER_INCH, type Mm } from '../../core/measure/units.ts';

/** The point `(xMm, yMm)` of the bench is in the top left corner of the canvas. */
export interface Viewport {
  readonly xMm: Mm;
  readonly yMm: Mm;
  readonly pxPerMm: number;
}

export interface PxPoint {
  readonly xPx: number;
  readonly yPx: number;
}

export interface PxSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** CSS defines its pixel as 1/96 in (CSS Values and Units 4, 6.2), so this is one to one on paper. */
export const TRUE_SIZE_PX_PER_MM = 96 / MM_PER_INCH;
const LARGEST_PX_PER_MM = TRUE_SIZE_PX_PER_MM * 8;
/** Zoomed out no further than this share of the size at which everything fits. */
const SMALLEST_OF_FITTED = 0.5;
/** Smallest part of the content that always stays visible. */
const KEPT_IN_SIGHT_PX = 48;

export const mmFromPx = (view: Viewport, { xPx, yPx }: PxPoint): Point => ({
  x: view.xMm + xPx / view.pxPerMm,
  y: view.yMm + yPx / view.pxPerMm,
});

/** The part of the bench that is seen. */
export const viewportRect = (view: Viewport, size: PxSize): Rect => ({
  x: view.xMm,
  y: view.yMm,
  width: size.widthPx / view.pxPerMm,
  height: size.heightPx / view.pxPerMm,
});

/** Shows all of `content`, centered, with `marginPx` free around it. */
export function viewportFitted(content: Rect, size: PxSize, marginPx: number): Viewport {
  const room = (px: number) => Math.max(px - 2 * marginPx, px / 2, 1);
  const pxPerMm = Math.min(
    room(size.widthPx) / content.width,
    room(size.heightPx) / content.height,
    LARGEST_PX_PER_MM,
  );
  return {
    xMm: content.x + content.width / 2 - size.widthPx / 2 / pxPerMm,
    yMm: content.y + content.height / 2 - size.heightPx / 2 / pxPerMm,
    pxPerMm,
  };
}

/** Enlarges by `factor` so that the point of the bench under `about` stays where it is. */
export function viewportZoomed(
  view: Viewport,
  factor: number,
  about: PxPoint,
  limits: { readonly content: Rect; readonly size: PxSize },
): Viewport {
  const fitted = viewportFitted(limits.content, limits.size, 0).pxPerMm;
  const smallest = Math.min(fitted * SMALLEST_OF_FITTED, TRUE_SIZE_PX_PER_MM);
  const pxPerMm = Math.min(Math.max(view.pxPerMm * factor, smallest), LARGEST_PX_PER_MM);
  const fixed = mmFromPx(view, about);
  return { xMm: fixed.x - about.xPx / pxPerMm, yMm: fixed.y - about.yPx / pxPerMm, pxPerMm };
}

/** Pans by pixels: a positive distance shows more on the right and below. */
export const viewportPanned = (view: Viewport, by: PxPoint): Viewport => ({
  ...view,
  xMm: view.xMm + by.xPx / view.pxPerMm,
  yMm: view.yMm + by.yPx / view.pxPerMm,
});

/** The nearest viewport that still shows some of `content`. */
export function viewportKeptInSight(view: Viewport, content: Rect, size: PxSize): Viewport {
  const kept = KEPT_IN_SIGHT_PX / view.pxPerMm;
  const seen = viewportRect(view, size);
  const between = (value: number, least: number, most: number) => Math.min(Math.max(value, least), most);
  const xMm = between(seen.x, content.x - seen.width + kept, rectRight(content) - kept);
  const yMm = between(seen.y, content.y - seen.height + kept, rectBottom(content) - kept);
  return xMm === view.xMm && yMm === view.yMm ? view : { ...view, xMm, yMm };
}

/** Moves as little as is needed to bring `rect` into sight; zooms out where it is larger than the window. */
export function viewportShowing(view: Viewport, rect: Rect, size: PxSize, marginPx: number): Viewport {
  const margin = marginPx / view.pxPerMm;
  const seen = viewportRect(view, size);
  if (rect.width + 2 * margin > seen.width || rect.height + 2 * margin > seen.height) {
    return viewportFitted(rect, size, marginPx);
  }
  const shift = (start: Mm, length: Mm, seenStart: Mm, seenLength: Mm): Mm => {
    const before = start - margin - seenStart;
    const after = start + length + margin - (seenStart + seenLength);
    return before < 0 ? before : Math.max(after, 0);
  };
  return {
    ...view,
    xMm: view.xMm + shift(rect.x, rect.width, seen.x, seen.width),
    yMm: view.yMm + shift(rect.y, rect.height, seen.y, seen.height),
  };
}

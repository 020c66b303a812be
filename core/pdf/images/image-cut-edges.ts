import type { Matrix } from '../page/page-space.ts';
import type { PixelSize } from './pixel-window.ts';

/**
 * Where the pixel edges on one axis of an image are on the panel's page: edge k is at `origin + perPixel × k` points.
 */
export interface EdgeScale {
  readonly origin: number;
  readonly perPixel: number;
}

/**
 * The scales of columns and rows; undefined where the image is turned or sheared. Row 0 is at the top of the unit
 * square.
 */
export function edgeScales(
  [a, b, c, d, e, f]: Matrix,
  { width, height }: PixelSize,
): { readonly x: EdgeScale; readonly y: EdgeScale } | undefined {
  if (b === 0 && c === 0) {
    return { x: { origin: e, perPixel: a / width }, y: { origin: f + d, perPixel: -d / height } };
  }
  if (a === 0 && d === 0) {
    return { x: { origin: f, perPixel: b / width }, y: { origin: e + c, perPixel: -c / height } };
  }
  return undefined;
}

/** How many extra pixels a good edge may cost: at least this many, or this share of the crop. */
const MIN_SEARCH_PIXELS = 16;
const SEARCH_SHARE = 0.02;
/** Points; far below any device's pixel, above the noise of single-precision matrices. */
const ROUNDING_NOISE = 1e-4;
/** A more distant edge must be better by this many points. */
const GAIN = 1e-3;

/**
 * Moves a cut outward, by steps, to a whole point of the page if one is near.
 *
 * Many renderers round an image outward to whole device pixels and stretch it to fit. A crop with edges between device
 * pixels is then drawn up to a pixel off from the whole image. With edges at whole points, crop and whole image are
 * drawn alike at 72 ppi and its multiples: MuPDF drew 6 % of the pixels differently before, none since, where four
 * pixels made a point. For a RIP that fills pixel by pixel it makes no difference.
 */
export function cutOnWholePoint(
  cut: number,
  direction: -1 | 1,
  step: number,
  crop: { readonly size: number; readonly length: number },
  { origin, perPixel }: EdgeScale,
): number {
  const search = Math.max(MIN_SEARCH_PIXELS, SEARCH_SHARE * crop.length);
  const outward = direction * Math.sign(perPixel);
  let best = cut;
  let least = Number.POSITIVE_INFINITY;
  for (let at = cut; Math.abs(at - cut) <= search && at > 0 && at < crop.size; at += direction * step) {
    const point = origin + perPixel * at;
    const moved =
      outward < 0 ? point - Math.floor(point + ROUNDING_NOISE) : Math.ceil(point - ROUNDING_NOISE) - point;
    if (moved < least - GAIN) {
      least = moved;
      best = at;
    }
  }
  return best;
}

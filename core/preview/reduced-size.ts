import type { ImageNeed } from '../pdf/content/image-needs.ts';
import type { PixelSize } from '../pdf/images/pixel-window.ts';

/** How fine a reduced page is. */
export interface ReducedDetail {
  /** Longer edge, in pixels, of the picture that will be drawn from the page. */
  readonly longestPx: number;
  /**
   * Pixels of an image to keep for each pixel of that picture. With two, drawing averages them as it would have
   * averaged the original.
   */
  readonly pixelsKept: number;
  /** The maximum of samples in each direction that a mean uses; a few by default. */
  readonly maxTaps?: number;
  /** An image with fewer pixels stays unchanged. */
  readonly leastPixels: number;
  /** Whether an image in LZW or ASCII stays unchanged too, because the renderer unpacks those faster. */
  readonly leavesSlow: boolean;
  /** Whether an image with damaged data shows the part that could be read. Otherwise there is no copy. */
  readonly keepsDamaged: boolean;
}

/** An image that extends far beyond the page counts as at most this many times the picture's edge. */
const MAX_EDGES = 4;
/** A reduction that leaves more than half of the pixels is not worth its time. */
const WORTHWHILE_SHARE = 0.5;
/** Stencils have no gray to average to, so more of their pixels are kept. */
const MASK_PIXELS_KEPT = 4;
/** A JPEG reduced to the means of its blocks may be this much coarser than the picture. */
const JPEG_LEAST_SHARE = 0.75;

/** The number of pixels to keep of a raster; undefined where it must stay whole. */
export function rasterReducedSize(
  { width, height }: PixelSize,
  need: ImageNeed,
  { longestPx, pixelsKept, leastPixels }: ReducedDetail,
  isMask: boolean,
): PixelSize | undefined {
  if (width * height < leastPixels) return undefined;
  const kept = isMask ? Math.max(MASK_PIXELS_KEPT, pixelsKept) : pixelsKept;
  const edge = (size: number, neededPx: number): number =>
    Math.max(1, Math.min(size, Math.ceil(Math.min(neededPx, MAX_EDGES * longestPx) * kept)));
  const size = { width: edge(width, need.acrossPx), height: edge(height, need.downPx) };
  return size.width * size.height > WORTHWHILE_SHARE * width * height ? undefined : size;
}

/** Whether the means of its blocks of 8 × 8 pixels are detailed enough for a JPEG. */
export const isJpegReducible = (
  { width, height }: PixelSize,
  { acrossPx, downPx }: ImageNeed,
  { leastPixels }: ReducedDetail,
): boolean =>
  width * height >= leastPixels &&
  width / 8 >= JPEG_LEAST_SHARE * acrossPx &&
  height / 8 >= JPEG_LEAST_SHARE * downPx;

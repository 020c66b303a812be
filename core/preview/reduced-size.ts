import type { ImageNeed } from '../pdf/content/image-needs.ts';
import type { PixelSize } from '../pdf/images/pixel-window.ts';

/** How fine a reduced page is. */
export interface ReducedDetail {
  /** Pixels of the longer edge of the picture that is to be drawn of the page. */
  readonly longestPx: number;
  /** Pixels to keep of an image for each pixel of that picture: with two, the drawing itself averages as it would have. */
  readonly pixelsKept: number;
  /** How many samples in each direction a mean is taken over at most; a few unless said otherwise. */
  readonly maxTaps?: number;
  /** An image of fewer pixels stays as it is. */
  readonly leastPixels: number;
  /** Whether an image in LZW or in ASCII stays as it is too: what draws the page unpacks those more quickly. */
  readonly leavesSlow: boolean;
  /** Whether an image with damaged data shows what could be read of it. Otherwise there is no copy. */
  readonly keepsDamaged: boolean;
}

/** An image that reaches far beyond the page counts as so many times the picture's edge at most. */
const MAX_EDGES = 4;
/** A reduction that leaves more than half of the pixels is not worth its while. */
const WORTHWHILE_SHARE = 0.5;
/** Stencils have no gray to average to, so more of them is kept. */
const MASK_PIXELS_KEPT = 4;
/** A JPEG by the means of its blocks may be that much coarser than the picture. */
const JPEG_LEAST_SHARE = 0.75;

/** The pixels to keep of a raster; undefined where it is to stay whole. */
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

/** Whether the means of its blocks of 8 × 8 pixels are enough of a JPEG. */
export const isJpegReducible = (
  { width, height }: PixelSize,
  { acrossPx, downPx }: ImageNeed,
  { leastPixels }: ReducedDetail,
): boolean =>
  width * height >= leastPixels &&
  width / 8 >= JPEG_LEAST_SHARE * acrossPx &&
  height / 8 >= JPEG_LEAST_SHARE * downPx;

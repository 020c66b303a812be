/**
 * The first picture of a page: all of it, coarsely. It has one size wherever it is asked for, so that it can be
 * made before anybody asks, and kept.
 */

/** Pixels of its longer edge. */
export const COARSE_PX = 1024;

export function coarsePictureWidth({ width, height }: { readonly width: number; readonly height: number }) {
  return width >= height ? COARSE_PX : Math.max(1, Math.round((COARSE_PX * width) / height));
}

/** The preview holds a larger artwork's file only in a copy whose pictures are reduced to this along the page's longer edge. */
export const REDUCED_PX = 4096;

/** As fine as a plan of one of several sides on a page is drawn. */
export const FINEST_PX = 16_384;

/** The preview's wasm memory ends at 2 GiB; the file lies in it whole, beside what drawing needs. */
const MAX_WHOLE_BYTES = 1.2 * 2 ** 30;

/** Whether all pictures of an artwork come from a reduced copy, because the preview cannot hold its file. */
export const isDrawnReduced = ({ sizeBytes }: { readonly sizeBytes: number }): boolean =>
  sizeBytes > MAX_WHOLE_BYTES;

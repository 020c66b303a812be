/**
 * The first picture of a page: all of it, coarsely. It has the same size everywhere, so that it can be made in advance
 * and cached.
 */

/** Its longer edge in pixels. */
export const COARSE_PX = 1024;

export function coarsePictureWidth({ width, height }: { readonly width: number; readonly height: number }) {
  return width >= height ? COARSE_PX : Math.max(1, Math.round((COARSE_PX * width) / height));
}

/**
 * For an artwork too large to be drawn directly, the preview uses a copy with pictures reduced to this longer edge of
 * the page.
 */
export const REDUCED_PX = 4096;

/** As fine as the picture of one of several sides on a page. */
export const FINEST_PX = 16_384;

/** The preview's wasm memory ends at 2 GiB; the whole file is in it, plus what drawing needs. */
const MAX_WHOLE_BYTES = 1.2 * 2 ** 30;

/** Whether all pictures of an artwork come from a reduced copy, because the preview cannot hold its file. */
export const isDrawnReduced = ({ sizeBytes }: { readonly sizeBytes: number }): boolean =>
  sizeBytes > MAX_WHOLE_BYTES;

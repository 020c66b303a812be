/**
 * The first picture of a page: all of it, coarsely. It has one size wherever it is asked for, so that it can be
 * made before anybody asks, and kept.
 */

/** Pixels of its longer edge. */
export const COARSE_PX = 1024;

export function coarsePictureWidth({ width, height }: { readonly width: number; readonly height: number }) {
  return width >= height ? COARSE_PX : Math.max(1, Math.round((COARSE_PX * width) / height));
}

/**
 * What is kept of a photo that somebody took of a panel or of a side: the picture and its colors, and nothing of where it was taken, by
 * whom and with what. No pixel is changed; parts of the file are left out.
 */
import type { CleanedPicture } from './cleaned-picture.ts';
import { jpegCleaned } from './jpeg-cleaned.ts';
import type { PhotoType } from './photo-file.ts';
import { pngCleaned } from './png-cleaned.ts';
import { webpCleaned } from './webp-cleaned.ts';

/** A photo of a phone has 3 to 12 MB, a fine JPEG of 50 megapixels up to 50 MB (from memory). */
export const MOST_PHOTO_BYTES = 80_000_000;
/** Unpacked, each takes four bytes, and as much again while it is unpacked. */
export const MOST_PHOTO_PIXELS = 100_000_000;

export interface CleanedPhoto extends CleanedPicture {
  readonly mediaType: PhotoType;
}

/** Undefined where the bytes are none of these pictures, or a broken one. A photo that was cleaned stays as it is. */
export function photoCleaned(bytes: Uint8Array): CleanedPhoto | undefined {
  const kinds = [
    ['image/jpeg', jpegCleaned],
    ['image/png', pngCleaned],
    ['image/webp', webpCleaned],
  ] as const;
  for (const [mediaType, cleaned] of kinds) {
    const picture = cleaned(bytes);
    if (picture && picture.widthPx > 0 && picture.heightPx > 0) return { ...picture, mediaType };
  }
  return undefined;
}

/**
 * What is kept of a photo that somebody took of a panel or of a side: the picture and its colors, and nothing of where it was taken, by
 * whom and with what. No pixel is changed; parts of the file are left out.
 */
import { z } from 'zod';
import type { CleanedPicture } from './cleaned-picture.ts';
import { jpegCleaned } from './jpeg-cleaned.ts';
import { pngCleaned } from './png-cleaned.ts';
import { webpCleaned } from './webp-cleaned.ts';

/** A photo of a phone has 3 to 12 MB (from memory). */
export const MOST_PHOTO_BYTES = 25_000_000;

export const PHOTO_TYPES = ['image/jpeg', 'image/png', 'image/webp'] as const;
export type PhotoType = (typeof PHOTO_TYPES)[number];

/** A photo in the vault, and its size as it is seen, turned upright. */
export const PhotoFile = z.strictObject({
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  fileName: z.string().max(255),
  mediaType: z.enum(PHOTO_TYPES),
  widthPx: z.number().int().positive(),
  heightPx: z.number().int().positive(),
  sizeBytes: z.number().int().positive(),
});
export type PhotoFile = z.infer<typeof PhotoFile>;

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

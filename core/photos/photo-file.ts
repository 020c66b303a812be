/**
 * Facts of a photo in the vault, in a file apart from the code that reads photos, because every job document may name
 * some.
 */
import { z } from 'zod';

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

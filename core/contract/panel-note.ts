/** What the shop noted at a panel, with photos: seen by whoever prints or installs it again, printed nowhere. */
import { z } from 'zod';
import { PHOTO_TYPES } from '../photos/photo.ts';
import { id } from './parts.ts';

const sha256 = z.string().regex(/^[0-9a-f]{64}$/);

export const NotePhoto = z.strictObject({
  sha256,
  fileName: z.string().max(255),
  mediaType: z.enum(PHOTO_TYPES),
  widthPx: z.number().int().positive(),
  heightPx: z.number().int().positive(),
  sizeBytes: z.number().int().positive(),
});
export type NotePhoto = z.infer<typeof NotePhoto>;

export const MOST_PHOTOS = 20;

export const PanelNote = z.strictObject({
  id,
  panelId: id,
  /** That of the day. */
  panelLabel: z.string().max(200),
  /** Empty where the photos say it. */
  text: z.string().max(10_000),
  by: z.string().max(200),
  at: z.string().max(40),
  photos: z.array(NotePhoto).max(MOST_PHOTOS),
});
export type PanelNote = z.infer<typeof PanelNote>;

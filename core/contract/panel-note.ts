/** What the shop noted at a panel, with photos: shown for its next print or installation, printed nowhere. */
import { z } from 'zod';
import { PhotoFile } from '../photos/photo-file.ts';
import { id } from './parts.ts';

export const MOST_PHOTOS = 20;

export const PanelNote = z.strictObject({
  id,
  panelId: id,
  /** That of the day. */
  panelLabel: z.string().max(200),
  /** Of a fleet: the vehicle whose panel it is; absent: the panel on all of them. */
  unitNumber: z.string().max(200).optional(),
  /** Empty where the photos say it. */
  text: z.string().max(10_000),
  by: z.string().max(200),
  at: z.string().max(40),
  photos: z.array(PhotoFile).max(MOST_PHOTOS),
});
export type PanelNote = z.infer<typeof PanelNote>;

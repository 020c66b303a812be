/** Notes of the shop on a panel, with photos: shown for its next print or installation, never printed. */
import { z } from 'zod';
import { PhotoFile } from '../photos/photo-file.ts';
import { id } from './parts.ts';

export const MOST_PHOTOS = 20;

export const PanelNote = z.strictObject({
  id,
  panelId: id,
  /** Its label on that day. */
  panelLabel: z.string().max(200),
  /** In a fleet: the vehicle of the panel; absent: the panel on all vehicles. */
  unitNumber: z.string().max(200).optional(),
  /** Empty where the photos are enough. */
  text: z.string().max(10_000),
  by: z.string().max(200),
  at: z.string().max(40),
  photos: z.array(PhotoFile).max(MOST_PHOTOS),
});
export type PanelNote = z.infer<typeof PanelNote>;

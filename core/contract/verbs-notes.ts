/** Notes and photos of panels, and photos of sides. */
import { z } from 'zod';
import { PHOTO_TYPES, PhotoFile } from '../photos/photo-file.ts';
import { PanelNote } from './panel-note.ts';
import { id, token, type Verb } from './parts.ts';

export const NOTE_VERBS = {
  /** Of all panels of a job, oldest first. */
  'note:list': { request: z.strictObject({ jobId: id }), reply: z.array(PanelNote) },
  'note:keep': {
    request: z.strictObject({
      jobId: id,
      ...PanelNote.pick({ panelId: true, panelLabel: true, unitNumber: true, text: true, by: true }).shape,
    }),
    reply: PanelNote,
  },
  /** Adds a photo to a note; metadata from the camera is removed. */
  'note:add-photo': { request: z.strictObject({ noteId: id, file: token }), reply: PanelNote },
  'note:remove': { request: z.strictObject({ noteId: id }), reply: z.strictObject({}) },
  /** Stores a photo of a side in the vault, without metadata from the camera. */
  'photo:keep': { request: z.strictObject({ file: token }), reply: PhotoFile },
  /** A stored photo of a note or a side; null where the vault has lost it. */
  'photo:read': {
    request: PhotoFile.pick({ sha256: true }),
    reply: z
      .strictObject({ bytes: z.instanceof(Uint8Array<ArrayBufferLike>), mediaType: z.enum(PHOTO_TYPES) })
      .nullable(),
  },
} as const satisfies Record<string, Verb>;

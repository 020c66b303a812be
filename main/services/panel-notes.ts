/** Notes at panels, and the photos that belong to them. */
import { randomUUID } from 'node:crypto';
import { MOST_PHOTOS, type PanelNote } from '../../core/contract/panel-note.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';
import { sha256Hex } from '../files/sha256.ts';
import { keepPhoto } from './photos.ts';
import type { ActParts } from './service-parts.ts';

type Parts = Pick<ActParts, 'archive' | 'now'>;

const MARK = '@';

/** Of a job that is imported beside its original, each has the notes for itself; imported twice, it has them once. */
export const noteIdInJob = (id: string, jobId: string): string =>
  `${id.split(MARK)[0]}${MARK}${sha256Hex(Buffer.from(jobId)).slice(0, 16)}`;

export async function keepNote(
  { archive, now }: Parts,
  jobId: string,
  given: Omit<PanelNote, 'id' | 'at' | 'photos'>,
): Promise<Result<PanelNote>> {
  const job = await archive.jobs.find(jobId);
  if (!job.ok) return job;
  const note = { ...given, id: noteIdInJob(randomUUID(), jobId), at: now(), photos: [] };
  await archive.notes.keep(job.value.id, note);
  return resultOk(note);
}

/** `fileName`: what people call it. */
export async function addPhoto(
  archive: Archive,
  noteId: string,
  photoFile: { readonly path: string; readonly fileName: string },
): Promise<Result<PanelNote>> {
  const note = await archive.notes.find(noteId);
  if (!note.ok) return note;
  if (note.value.photos.length >= MOST_PHOTOS) return resultProblem(tooMany(photoFile.fileName));
  const photo = await keepPhoto(archive, photoFile);
  return photo.ok ? await archive.notes.addPhoto(noteId, photo.value) : photo;
}

const tooMany = (fileName: string): Problem => ({
  code: 'photo-too-many',
  message: `${fileName} was not added: a note has at most ${MOST_PHOTOS} photos.`,
  remedy: 'Write another note for it.',
});

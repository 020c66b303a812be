/** Notes at panels, and the photos that belong to them. */
import { randomUUID } from 'node:crypto';
import { readFile, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { ContractReply } from '../../core/contract/contract.ts';
import { MOST_PHOTOS, type NotePhoto, type PanelNote } from '../../core/contract/panel-note.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { MOST_PHOTO_BYTES, photoCleaned } from '../../core/photos/photo.ts';
import type { Archive } from '../archive/port.ts';
import { tryFiles } from '../files/file-problem.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { sha256Hex } from '../files/sha256.ts';
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
  { path, fileName }: { readonly path: string; readonly fileName: string },
): Promise<Result<PanelNote>> {
  const note = await archive.notes.find(noteId);
  if (!note.ok) return note;
  if (note.value.photos.length >= MOST_PHOTOS) return resultProblem(tooMany(fileName));
  const photo = await photoInVault(archive, path, fileName);
  return photo.ok ? await archive.notes.addPhoto(noteId, photo.value) : photo;
}

/** Cleans a photo and takes it into the vault. Problems: `photo-too-large`, `photo-unreadable`, those of files. */
export async function photoInVault(
  archive: Archive,
  path: string,
  fileName: string,
): Promise<Result<NotePhoto>> {
  return await tryFiles(path, async () => {
    const { size } = await stat(path);
    if (size > MOST_PHOTO_BYTES) return resultProblem(tooLarge(fileName, size));
    const photo = photoCleaned(new Uint8Array(await readFile(path)));
    if (!photo) return resultProblem(unreadable(fileName));
    const { bytes, ...shown } = photo;
    const scratch = makeScratchFolder('photo');
    try {
      const cleaned = join(scratch, 'photo');
      await writeFile(cleaned, bytes, { mode: 0o600 });
      const { sha256 } = await archive.vault.add(cleaned);
      return resultOk({ ...shown, sha256, sizeBytes: bytes.length, fileName: fileName.slice(0, 255) });
    } finally {
      await rm(scratch, { recursive: true, force: true });
    }
  });
}

export async function notePhoto(
  archive: Archive,
  sha256: string,
): Promise<Result<ContractReply<'note:photo'>>> {
  // Only what is a photo of a note: the vault holds much else.
  const photo = await archive.notes.photo(sha256);
  if (!photo || (await archive.vault.state(sha256)) !== 'sound') return resultOk(null);
  const bytes = new Uint8Array(await readFile(await archive.vault.path(sha256)));
  return resultOk({ bytes, mediaType: photo.mediaType });
}

const megabytes = (bytes: number): string => `${Math.ceil(bytes / 1e6)} MB`;

const tooLarge = (fileName: string, size: number): Problem => ({
  code: 'photo-too-large',
  message: `${fileName} has ${megabytes(size)}; a photo may have at most ${megabytes(MOST_PHOTO_BYTES)}.`,
  remedy: 'Save a smaller copy of it and add that one.',
});

const unreadable = (fileName: string): Problem => ({
  code: 'photo-unreadable',
  message: `${fileName} is not a JPEG, PNG or WebP picture, or it is damaged.`,
  remedy: 'Save it as JPEG and add it again.',
});

const tooMany = (fileName: string): Problem => ({
  code: 'photo-too-many',
  message: `${fileName} was not added: a note has at most ${MOST_PHOTOS} photos.`,
  remedy: 'Write another note for it.',
});

/** The notes and photos of a job on their way to another archive. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { PanelNote } from '../../core/contract/panel-note.ts';
import type { Job } from '../../core/job/schema.ts';
import { photoCleaned } from '../../core/photos/photo.ts';
import type { PhotoFile } from '../../core/photos/photo-file.ts';
import type { Archive } from '../archive/port.ts';
import { noteIdInJob } from './panel-notes.ts';

/** Each photo once, however many notes have it. */
export const photosOf = (notes: readonly PanelNote[]): PhotoFile[] => [
  ...new Map(notes.flatMap(({ photos }) => photos).map((photo) => [photo.sha256, photo])).values(),
];

export const photosOfSides = ({ sides }: Job): PhotoFile[] => sides.flatMap(({ photo }) => photo ?? []);

interface ToExport {
  readonly job: Job;
  readonly notes: readonly PanelNote[];
  readonly photos: readonly string[];
}

/** Photos that the vault has lost stay behind: their note still says what it says, their side goes without. */
export async function jobToExport(archive: Archive, job: Job): Promise<ToExport> {
  const kept = await archive.notes.list(job.id);
  const there = new Set<string>();
  for (const { sha256 } of [...photosOf(kept), ...photosOfSides(job)]) {
    if ((await archive.vault.state(sha256)) === 'sound') there.add(sha256);
  }
  const sides = job.sides.map(({ photo, ...side }) =>
    photo && there.has(photo.sha256) ? { ...side, photo } : side,
  );
  const notes = kept.map((note) => ({
    ...note,
    photos: note.photos.filter(({ sha256 }) => there.has(sha256)),
  }));
  return { job: { ...job, sides }, notes, photos: [...there] };
}

/** Whether a photo is what its note or side says, and holds nothing that is not kept of photos. */
export async function isCleanPhoto(
  path: string,
  { mediaType, widthPx, heightPx, sizeBytes }: PhotoFile,
): Promise<boolean> {
  const bytes = new Uint8Array(await readFile(path));
  const clean = photoCleaned(bytes);
  return (
    clean !== undefined &&
    clean.mediaType === mediaType &&
    clean.widthPx === widthPx &&
    clean.heightPx === heightPx &&
    bytes.length === sizeBytes &&
    Buffer.from(clean.bytes).equals(bytes)
  );
}

/** `folder` holds the photos by their hashes. */
export async function keepImportedPhotos(
  archive: Archive,
  photos: readonly PhotoFile[],
  folder: string,
): Promise<void> {
  for (const { sha256 } of photos) await archive.vault.add(join(folder, sha256));
}

/** Their photos are in the vault. The same bundle twice leaves each note once. */
export async function keepImportedNotes(
  archive: Archive,
  jobId: string,
  notes: readonly PanelNote[],
): Promise<void> {
  for (const note of notes) await archive.notes.keep(jobId, { ...note, id: noteIdInJob(note.id, jobId) });
}

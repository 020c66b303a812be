/** The notes of a job on their way to another archive, with their photos. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { NotePhoto, PanelNote } from '../../core/contract/panel-note.ts';
import { photoCleaned } from '../../core/photos/photo.ts';
import type { Archive } from '../archive/port.ts';
import { noteIdInJob } from './panel-notes.ts';

/** Each photo once, however many notes have it. */
export const photosOf = (notes: readonly PanelNote[]): NotePhoto[] => [
  ...new Map(notes.flatMap(({ photos }) => photos).map((photo) => [photo.sha256, photo])).values(),
];

/** Photos that the vault has lost stay behind: their note still says what it says. */
export async function notesToExport(
  archive: Archive,
  jobId: string,
): Promise<{ readonly notes: readonly PanelNote[]; readonly photos: readonly string[] }> {
  const kept = await archive.notes.list(jobId);
  const there = new Set<string>();
  for (const { sha256 } of photosOf(kept)) {
    if ((await archive.vault.state(sha256)) === 'sound') there.add(sha256);
  }
  const notes = kept.map((note) => ({
    ...note,
    photos: note.photos.filter(({ sha256 }) => there.has(sha256)),
  }));
  return { notes, photos: [...there] };
}

/** Whether a photo is what its note says, and holds nothing that is not kept of photos. */
export async function isCleanPhoto(
  path: string,
  { mediaType, widthPx, heightPx, sizeBytes }: NotePhoto,
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

/** `folder` holds the photos by their hashes. The same bundle twice leaves each note once. */
export async function keepImportedNotes(
  archive: Archive,
  jobId: string,
  notes: readonly PanelNote[],
  folder: string,
): Promise<void> {
  for (const { sha256 } of photosOf(notes)) await archive.vault.add(join(folder, sha256));
  for (const note of notes) await archive.notes.keep(jobId, { ...note, id: noteIdInJob(note.id, jobId) });
}

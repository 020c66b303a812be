/** Exports what belongs to a job (notes, photos, templates and artwork comparisons) to another archive. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { PanelNote } from '../../core/contract/panel-note.ts';
import type { ArtworkReference, Job } from '../../core/job/schema.ts';
import type { ArtworkComparison } from '../../core/output/artwork-comparison.ts';
import { photoCleaned } from '../../core/photos/photo.ts';
import type { PhotoFile } from '../../core/photos/photo-file.ts';
import type { Archive } from '../archive/port.ts';
import { noteIdInJob } from './panel-notes.ts';

/** Each photo once, however many notes have it. */
export const photosOf = (notes: readonly PanelNote[]): PhotoFile[] => [
  ...new Map(notes.flatMap(({ photos }) => photos).map((photo) => [photo.sha256, photo])).values(),
];

export const photosOfSides = ({ sides }: Job): PhotoFile[] => sides.flatMap(({ photo }) => photo ?? []);

/** Each file once, however many sides are traced from it. */
export const templatesOf = ({ sides }: Job): ArtworkReference[] => [
  ...new Map(
    sides.flatMap(({ template }) => (template?.file ? [[template.file.sha256, template.file] as const] : [])),
  ).values(),
];

/** Artworks of comparisons, each once, without the present one of the job. */
export const otherArtworksOf = (
  comparisons: readonly ArtworkComparison[],
  { artwork }: Job,
): ArtworkReference[] => {
  const named = comparisons.flatMap(({ before, after }) => [before, after]);
  return [...new Map(named.map((each) => [each.sha256, each])).values()].filter(
    ({ sha256 }) => sha256 !== artwork?.sha256,
  );
};

interface ToExport {
  readonly job: Job;
  readonly notes: readonly PanelNote[];
  readonly photos: readonly string[];
  readonly templates: readonly string[];
  readonly comparisons: readonly ArtworkComparison[];
  readonly otherArtworks: readonly string[];
}

/** Files that the vault has lost are left out: a note keeps its text, a side goes without, and so does a comparison. */
export async function jobToExport(archive: Archive, job: Job): Promise<ToExport> {
  const kept = await archive.notes.list(job.id);
  const photos = await soundFiles(archive, [...photosOf(kept), ...photosOfSides(job)]);
  const templates = await soundFiles(archive, templatesOf(job));
  const sides = job.sides.map(({ photo, template, ...side }) => ({
    ...side,
    ...(photo && photos.has(photo.sha256) && { photo }),
    ...(template && (!template.file || templates.has(template.file.sha256)) && { template }),
  }));
  const notes = kept.map((note) => ({
    ...note,
    photos: note.photos.filter(({ sha256 }) => photos.has(sha256)),
  }));
  const compared = await archive.comparisons.list(job.id);
  const others = await soundFiles(archive, otherArtworksOf(compared, job));
  const isThere = ({ sha256 }: ArtworkReference) => sha256 === job.artwork?.sha256 || others.has(sha256);
  const comparisons = compared.filter(({ before, after }) => isThere(before) && isThere(after));
  return {
    job: { ...job, sides },
    notes,
    photos: [...photos],
    templates: [...templates],
    comparisons,
    otherArtworks: otherArtworksOf(comparisons, job).map(({ sha256 }) => sha256),
  };
}

async function soundFiles(
  { vault }: Archive,
  files: readonly { readonly sha256: string }[],
): Promise<Set<string>> {
  const there = new Set<string>();
  for (const { sha256 } of files) if ((await vault.state(sha256)) === 'sound') there.add(sha256);
  return there;
}

/** Whether a photo matches its note or side, and holds no metadata that is removed from photos. */
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

/** `folder` holds the files by their hashes. */
export async function keepImportedFiles(
  archive: Archive,
  files: readonly { readonly sha256: string }[],
  folder: string,
): Promise<void> {
  for (const { sha256 } of files) await archive.vault.add(join(folder, sha256));
}

/** Their photos are in the vault. The same bundle twice leaves each note once. */
export async function keepImportedNotes(
  archive: Archive,
  jobId: string,
  notes: readonly PanelNote[],
): Promise<void> {
  for (const note of notes) await archive.notes.keep(jobId, { ...note, id: noteIdInJob(note.id, jobId) });
}

/** In their order: of two of the same artworks the later one counts. The artworks are in the vault. */
export async function keepImportedComparisons(
  archive: Archive,
  jobId: string,
  comparisons: readonly ArtworkComparison[],
  now: string,
): Promise<void> {
  for (const [i, comparison] of comparisons.entries())
    await archive.comparisons.keep(jobId, comparison, new Date(Date.parse(now) + i).toISOString());
}

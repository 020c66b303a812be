/**
 * A job as one file, to be carried to another shop or machine: a ZIP archive (PKWARE APPNOTE) that holds `bundle.json`
 * with names and hashes, `job.json`, `notes.json`, and byte for byte the artwork, the photos of notes and sides, and
 * the templates of sides. Where artworks of the job were compared, `comparisons.json` and those artworks, so that
 * panels that are still good stay so. Nothing in it is trusted: names must be on the list of allowed ones, sizes are
 * limited, hashes are checked.
 */
import { createHash } from 'node:crypto';
import { createWriteStream, existsSync } from 'node:fs';
import { open as openFile, rename, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { type Entry, open, type ZipFile as ZipReader } from 'yauzl';
import { ZipFile } from 'yazl';
import { z } from 'zod';
import { PanelNote } from '../../core/contract/panel-note.ts';
import type { Progress } from '../../core/contract/parts.ts';
import type { ImportChoice, JobImport, JobSummary } from '../../core/contract/verbs-jobs.ts';
import { jobWithId } from '../../core/job/job-copy.ts';
import { jobFromJson, jobToJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ArtworkComparison } from '../../core/output/artwork-comparison.ts';
import { fileNameStem } from '../../core/output/file-name.ts';
import { MOST_PHOTO_BYTES } from '../../core/photos/photo.ts';
import type { Archive, StoredJob } from '../archive/port.ts';
import { partialPath, sweepPartials, syncFolder } from '../files/atomic-write.ts';
import { fileProblem } from '../files/file-problem.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { sha256Hex } from '../files/sha256.ts';
import {
  isCleanPhoto,
  jobToExport,
  keepImportedComparisons,
  keepImportedFiles,
  keepImportedNotes,
  otherArtworksOf,
  photosOf,
  photosOfSides,
  templatesOf,
} from './bundle-notes.ts';
import { saveJob } from './save-job.ts';
import { storedJob } from './stored-job.ts';

export const BUNDLE_EXTENSION = '.pwjob';
const BUNDLE_VERSION = 1;
const MAX_TEXT_BYTES = 64 * 2 ** 20;
const MAX_ARTWORK_BYTES = 4 * 2 ** 30;
/** A bundle keeps its artwork as it is; one packed by hand may be smaller, but not by this much. */
const MOST_UNPACKED = 20;
const MIN_BOUNDED_BYTES = 16 * 2 ** 20;
/** Where the header of a PDF must begin, as its readers look for it (ISO 32000-1, annex H.3, note 13). */
const HEADER_WITHIN_BYTES = 1024;
const MAX_FILES = 500;

const NAMES = {
  bundle: 'bundle.json',
  job: 'job.json',
  notes: 'notes.json',
  comparisons: 'comparisons.json',
  artwork: 'artwork.pdf',
} as const;
const FILE_NAME = /^(photos|templates|artworks)\/[0-9a-f]{64}$/;
const MAX_ENTRIES = Object.keys(NAMES).length + MAX_FILES;

const photoName = (sha256: string): string => `photos/${sha256}`;
const templateName = (sha256: string): string => `templates/${sha256}`;
const otherArtworkName = (sha256: string): string => `artworks/${sha256}`;

const Bundle = z.strictObject({
  format: z.literal('panelwright-bundle'),
  version: z.number().int().positive(),
  jobSha256: z.string().regex(/^[0-9a-f]{64}$/),
  notesSha256: z.string().regex(/^[0-9a-f]{64}$/),
  /** Absent where no artworks of the job were compared. */
  comparisonsSha256: z
    .string()
    .regex(/^[0-9a-f]{64}$/)
    .optional(),
  artworkSha256: z
    .string()
    .regex(/^[0-9a-f]{64}$/)
    .nullable(),
});

interface BundleTools {
  readonly signal: AbortSignal;
  readonly report: (progress: Progress) => void;
}

/** Writes `<number>.pwjob` into a folder; an existing file of that name is not touched. */
export async function exportBundle(
  archive: Archive,
  jobId: string,
  folder: string,
  { signal, report }: BundleTools,
): Promise<Result<{ fileName: string }>> {
  const stored = await storedJob(archive, jobId);
  if (!stored.ok) return stored;
  const { job } = stored.value;
  const { artwork } = job;
  if (artwork && (await archive.vault.state(artwork.sha256)) !== 'sound') {
    return resultProblem({
      code: 'vault-incomplete',
      message: `The artwork ${artwork.fileName} is missing or damaged in the archive.`,
      remedy: 'Import the artwork again, then export the job.',
    });
  }
  report({ what: 'Exporting the job', done: 0, total: 1 });
  const fileName = await findFreeName(folder, fileNameStem(job.number));
  const path = join(folder, fileName);
  const partial = partialPath(path);
  sweepPartials(folder, fileName);
  try {
    const {
      job: exported,
      notes,
      photos,
      templates,
      comparisons,
      otherArtworks,
    } = await jobToExport(archive, job);
    const text = jobToJson(exported);
    const notesText = JSON.stringify(notes);
    const comparisonsText = comparisons.length > 0 ? JSON.stringify(comparisons) : undefined;
    const zip = new ZipFile();
    const bundle = {
      format: 'panelwright-bundle',
      version: BUNDLE_VERSION,
      jobSha256: sha256Hex(Buffer.from(text)),
      notesSha256: sha256Hex(Buffer.from(notesText)),
      ...(comparisonsText !== undefined && { comparisonsSha256: sha256Hex(Buffer.from(comparisonsText)) }),
      artworkSha256: artwork?.sha256 ?? null,
    } satisfies z.infer<typeof Bundle>;
    // A fixed date, so that the same job makes the same bundle.
    const mtime = new Date(`${job.date}T00:00:00Z`);
    zip.addBuffer(Buffer.from(JSON.stringify(bundle)), NAMES.bundle, { mtime });
    zip.addBuffer(Buffer.from(text), NAMES.job, { mtime });
    zip.addBuffer(Buffer.from(notesText), NAMES.notes, { mtime });
    if (comparisonsText !== undefined)
      zip.addBuffer(Buffer.from(comparisonsText), NAMES.comparisons, { mtime });
    for (const sha256 of photos)
      zip.addFile(await archive.vault.path(sha256), photoName(sha256), { mtime, compress: false });
    for (const sha256 of templates)
      zip.addFile(await archive.vault.path(sha256), templateName(sha256), { mtime, compress: false });
    for (const sha256 of otherArtworks)
      zip.addFile(await archive.vault.path(sha256), otherArtworkName(sha256), { mtime, compress: false });
    if (artwork)
      zip.addFile(await archive.vault.path(artwork.sha256), NAMES.artwork, { mtime, compress: false });
    zip.end();
    await pipeline(zip.outputStream, createWriteStream(partial, { flags: 'wx', flush: true }), { signal });
    await rename(partial, path);
    await syncFolder(folder);
    return resultOk({ fileName });
  } catch (error) {
    await rm(partial, { force: true });
    return problemOrThrow(error, path);
  }
}

export interface ImportTools extends BundleTools {
  /** ISO date-time. */
  readonly now: string;
  /** Whether a job is being edited somewhere, and must not be replaced. */
  readonly isOpen?: (jobId: string) => Promise<boolean>;
}

/**
 * Imports a bundle into the archive. Where it matches an existing job, it follows the given choice; without one, it
 * does nothing.
 */
export async function importBundle(
  archive: Archive,
  path: string,
  choice: ImportChoice | undefined,
  tools: ImportTools,
): Promise<Result<JobImport>> {
  const { signal, report } = tools;
  let scratch: string | undefined;
  try {
    scratch = makeScratchFolder('bundle');
    report({ what: 'Reading the bundle', done: 0, total: 2 });
    const artworkPath = join(scratch, 'artwork');
    const parts = await readBundle(path, scratch, signal);
    if (!parts.ok) return parts;
    const { job, artworkSha256, notes, comparisons } = parts.value;
    report({ what: 'Keeping the job', done: 1, total: 2 });
    const place = await importPlace(archive, job, choice, tools);
    if (!place.ok) return place;
    if ('state' in place.value) return resultOk(place.value);
    if (artworkSha256 !== undefined) await archive.vault.add(artworkPath);
    await keepImportedFiles(
      archive,
      [...photosOf(notes), ...photosOfSides(job), ...templatesOf(job), ...otherArtworksOf(comparisons, job)],
      scratch,
    );
    const saved = await saveJob(archive, place.value.job, tools.now, place.value.baseRevision);
    if (!saved.ok) return saved;
    await keepImportedNotes(archive, saved.value.id, notes);
    await keepImportedComparisons(archive, saved.value.id, comparisons, tools.now);
    return resultOk({ state: 'imported', job: saved.value });
  } catch (error) {
    return problemOrThrow(error, path);
  } finally {
    if (scratch !== undefined) await rm(scratch, { recursive: true, force: true });
  }
}

/** The job that a bundle becomes, and the one it replaces; or the question to answer first. */
async function importPlace(
  archive: Archive,
  job: Job,
  choice: ImportChoice | undefined,
  { now, isOpen }: ImportTools,
): Promise<Result<{ readonly job: Job; readonly baseRevision: number } | JobImport>> {
  const byId = await archive.jobs.find(job.id);
  const same = byId.ok && byId.value.id === job.id ? byId.value : undefined;
  const there = (await archive.jobs.withNumber(job.number)) ?? (same && withoutDocument(same));
  if (!there) return resultOk({ job, baseRevision: 0 });
  if (!choice) {
    if (same?.document === jobToJson(job)) return resultOk({ job, baseRevision: same.revision });
    const { number, name, customer } = job;
    const freeNumber = await findFreeNumber(archive, number);
    return resultOk({ state: 'there-already', there, arriving: { number, name, customer }, freeNumber });
  }
  if (choice.kind === 'replace') {
    if (await isOpen?.(there.id)) return resultProblem(openElsewhere(there.number));
    return resultOk({ job: jobWithId(job, there.id), baseRevision: there.revision });
  }
  const { number } = choice;
  const numbered = same
    ? jobWithId(job, `${job.id.slice(0, 40)}-${sha256Hex(Buffer.from(now)).slice(0, 12)}`)
    : job;
  return resultOk({ job: { ...numbered, number }, baseRevision: 0 });
}

const withoutDocument = ({ document: _, ...summary }: StoredJob): JobSummary => summary;

async function findFreeNumber(archive: Archive, number: string): Promise<string> {
  for (let n = 1; ; n++) {
    const free = n === 1 ? number : `${number}-${n}`;
    if (!(await archive.jobs.withNumber(free))) return free;
  }
}

const openElsewhere = (number: string): Problem => ({
  code: 'job-open-elsewhere',
  message: `Job ${number} is being edited in another window.`,
  remedy: 'Close it there, or keep both under a new number. Nothing was imported.',
});

async function readBundle(
  path: string,
  /** Artworks, photos and templates are unpacked into it. */
  scratch: string,
  signal: AbortSignal,
): Promise<
  Result<{
    job: Job;
    artworkSha256: string | undefined;
    notes: PanelNote[];
    comparisons: ArtworkComparison[];
  }>
> {
  const zip = await openZip(path);
  if (!zip) return resultProblem(notABundle(path));
  try {
    const entries = await readZipEntries(zip);
    const names = entries?.map(({ fileName }) => fileName);
    const isPlain = names && new Set(names).size === names.length && names.every((name) => isKnownName(name));
    if (!entries || !isPlain) return resultProblem(notABundle(path));
    const entry = (name: string) => entries.find(({ fileName }) => fileName === name);

    const bundleText = await readEntryText(zip, entry(NAMES.bundle));
    const bundle = bundleText === undefined ? undefined : Bundle.safeParse(jsonOrUndefined(bundleText)).data;
    if (!bundle) return resultProblem(notABundle(path));
    if (bundle.version > BUNDLE_VERSION) {
      return resultProblem({
        code: 'bundle-newer',
        message: `${path} was written by a newer version of Panelwright.`,
        remedy: 'Update Panelwright and import it again.',
      });
    }
    const text = await readEntryText(zip, entry(NAMES.job));
    if (text === undefined || sha256Hex(Buffer.from(text)) !== bundle.jobSha256)
      return resultProblem(altered(path));
    const job = jobFromJson(text);
    if (!job.ok) return job;
    const artworkSha256 = bundle.artworkSha256 ?? undefined;
    if (job.value.artwork?.sha256 !== artworkSha256) return resultProblem(altered(path));
    const artworkEntry = entry(NAMES.artwork);
    if (artworkSha256 !== undefined) {
      if (artworkEntry && isUnpackedTooLarge(artworkEntry)) return resultProblem(artworkTooLarge(path));
      const artworkPath = join(scratch, 'artwork');
      const found = artworkEntry && (await writeEntryToFile(zip, artworkEntry, artworkPath, signal));
      if (found !== artworkSha256) return resultProblem(altered(path));
      if (!(await hasPdfHeader(artworkPath))) return resultProblem(artworkNoPdf(path));
    }
    const notesText = await readEntryText(zip, entry(NAMES.notes));
    if (notesText === undefined || sha256Hex(Buffer.from(notesText)) !== bundle.notesSha256)
      return resultProblem(altered(path));
    const notes = z.array(PanelNote).safeParse(jsonOrUndefined(notesText)).data;
    if (!notes) return resultProblem(altered(path));
    const photos = [...photosOf(notes), ...photosOfSides(job.value)];
    for (const photo of new Map(photos.map((each) => [each.sha256, each])).values()) {
      const photoEntry = entry(photoName(photo.sha256));
      if (!photoEntry || photoEntry.uncompressedSize > MOST_PHOTO_BYTES) return resultProblem(altered(path));
      const photoPath = join(scratch, photo.sha256);
      const found = await writeEntryToFile(zip, photoEntry, photoPath, signal);
      if (found !== photo.sha256 || !(await isCleanPhoto(photoPath, photo)))
        return resultProblem(altered(path));
    }
    const { comparisonsSha256 } = bundle;
    const comparedText = comparisonsSha256 && (await readEntryText(zip, entry(NAMES.comparisons)));
    if (comparisonsSha256 && sha256Hex(Buffer.from(comparedText ?? '')) !== comparisonsSha256)
      return resultProblem(altered(path));
    const comparisons = await comparisonsOf(comparedText);
    if (!comparisons) return resultProblem(altered(path));
    const others = otherArtworksOf(comparisons, job.value).map(({ sha256 }) => sha256);
    const templates = templatesOf(job.value).map(({ sha256 }) => sha256);
    const pdfs = [
      ...templates.map((sha256) => [sha256, templateName(sha256)] as const),
      ...others.map((sha256) => [sha256, otherArtworkName(sha256)] as const),
    ];
    for (const [sha256, name] of pdfs) {
      const pdfEntry = entry(name);
      if (!pdfEntry || isUnpackedTooLarge(pdfEntry)) return resultProblem(altered(path));
      const pdfPath = join(scratch, sha256);
      // A template can be one of the compared artworks.
      const found = existsSync(pdfPath) ? sha256 : await writeEntryToFile(zip, pdfEntry, pdfPath, signal);
      if (found !== sha256 || !(await hasPdfHeader(pdfPath))) return resultProblem(altered(path));
    }
    return resultOk({ job: job.value, artworkSha256, notes, comparisons });
  } finally {
    zip.close();
  }
}

/** Undefined where the text holds something else. */
async function comparisonsOf(text: string | undefined): Promise<ArtworkComparison[] | undefined> {
  if (text === undefined) return [];
  const { ArtworkComparison: Schema } = await import('../../core/output/artwork-comparison.ts');
  return z.array(Schema).safeParse(jsonOrUndefined(text)).data;
}

const isKnownName = (name: string): boolean =>
  Object.values(NAMES).includes(name as never) || FILE_NAME.test(name);

async function openZip(path: string): Promise<ZipReader | undefined> {
  await stat(path);
  return await new Promise((resolve) => {
    open(path, { lazyEntries: true, autoClose: false, strictFileNames: true }, (error, zip) =>
      resolve(error ? undefined : zip),
    );
  });
}

async function readZipEntries(zip: ZipReader): Promise<Entry[] | undefined> {
  if (zip.entryCount > MAX_ENTRIES) return undefined;
  return await new Promise((resolve) => {
    const entries: Entry[] = [];
    zip.on('entry', (entry: Entry) => {
      entries.push(entry);
      zip.readEntry();
    });
    zip.on('end', () => resolve(entries));
    zip.on('error', () => resolve(undefined));
    zip.readEntry();
  });
}

async function readEntryText(zip: ZipReader, entry: Entry | undefined): Promise<string | undefined> {
  if (!entry || entry.uncompressedSize > MAX_TEXT_BYTES) return undefined;
  const chunks: Buffer[] = [];
  try {
    for await (const chunk of await openEntryStream(zip, entry)) chunks.push(chunk as Buffer);
  } catch {
    return undefined;
  }
  return Buffer.concat(chunks).toString('utf8');
}

/** Writes an entry to a file and returns the SHA-256 of what was written; undefined where the entry is broken. */
async function writeEntryToFile(
  zip: ZipReader,
  entry: Entry,
  path: string,
  signal: AbortSignal,
): Promise<string | undefined> {
  const hash = createHash('sha256');
  const hashing = new Transform({
    transform(chunk: Buffer, _encoding, done) {
      hash.update(chunk);
      done(null, chunk);
    },
  });
  const source = await openEntryStream(zip, entry).catch(() => undefined);
  if (!source) return undefined;
  await pipeline(source, hashing, createWriteStream(path, { flags: 'wx' }), { signal });
  return hash.digest('hex');
}

const isUnpackedTooLarge = ({ uncompressedSize, compressedSize }: Entry): boolean =>
  uncompressedSize > MAX_ARTWORK_BYTES ||
  (uncompressedSize > MIN_BOUNDED_BYTES && uncompressedSize > compressedSize * MOST_UNPACKED);

async function hasPdfHeader(path: string): Promise<boolean> {
  const file = await openFile(path);
  try {
    const { buffer, bytesRead } = await file.read(
      Buffer.alloc(HEADER_WITHIN_BYTES),
      0,
      HEADER_WITHIN_BYTES,
      0,
    );
    return buffer.subarray(0, bytesRead).includes('%PDF-');
  } finally {
    await file.close();
  }
}

/** yauzl itself refuses an entry that unpacks to another size than it claims. */
async function openEntryStream(zip: ZipReader, entry: Entry): Promise<NodeJS.ReadableStream> {
  return await new Promise((resolve, reject) => {
    zip.openReadStream(entry, (error, stream) => (error ? reject(error) : resolve(stream)));
  });
}

async function findFreeName(folder: string, stem: string): Promise<string> {
  for (let n = 1; ; n++) {
    const name = `${stem}${n === 1 ? '' : `-${n}`}${BUNDLE_EXTENSION}`;
    const isTaken = await stat(join(folder, name)).then(
      () => true,
      () => false,
    );
    if (!isTaken) return name;
  }
}

function jsonOrUndefined(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function problemOrThrow(error: unknown, path: string): Result<never> {
  const problem = fileProblem(error, path);
  if (problem) return resultProblem(problem);
  throw error;
}

const notABundle = (path: string): Problem => ({
  code: 'bundle-unreadable',
  message: `${path} is not a job bundle, or it is damaged.`,
  remedy: 'Select a .pwjob file, or have the job exported again.',
});

const artworkNoPdf = (path: string): Problem => ({
  code: 'bundle-artwork',
  message: `The artwork in ${path} is not a PDF.`,
  remedy: 'Have the job exported again. Nothing was imported.',
});

const artworkTooLarge = (path: string): Problem => ({
  code: 'bundle-artwork',
  message: `The artwork in ${path} would take too much room: more than 4 GB, or ${MOST_UNPACKED} times what the file holds.`,
  remedy: 'Have the job exported again. Nothing was imported.',
});

const altered = (path: string): Problem => ({
  code: 'bundle-altered',
  message: `${path} does not hold what it says: a file in it is missing or was changed after the export.`,
  remedy: 'Have the job exported again. Nothing was imported.',
});

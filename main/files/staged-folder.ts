/**
 * A set of files that appears together, in one folder. They are written to a staging folder beside their final place;
 * once all of them are written and synced, one rename gives the folder its name. The folder is therefore complete as
 * soon as it exists, and nothing that existed before is changed. A killed process leaves a staging folder that cannot
 * be mistaken for an output. The next writer removes it, and half-written files in the folders beside it.
 *
 * ```ts
 * const staged = await StagedFolder.begin(folder);
 * await staged.write('panels/VAN-17_DS-01.pdf', '%PDF-1.7');
 * await staged.write('manifest.json', '{}');
 * await staged.finish();
 * await placeStaged(staged.path, `${folder}/output-1`); // → true
 * await placeStaged(staged.path, `${folder}/output-1`); // → false
 * ```
 */
import { createReadStream, existsSync } from 'node:fs';
import { lstat, mkdir, rename, rm, rmdir } from 'node:fs/promises';
import { dirname, join, posix } from 'node:path';
import type { Result } from '../../core/measure/result.ts';
import { namesIn, partialPath, sweepPartials, syncFolder } from './atomic-write.ts';
import { tryFiles } from './file-problem.ts';
import { makeFolder } from './make-folder.ts';
import type { HashedSize } from './sha256.ts';
import { StagedFile } from './staged-file.ts';

export type { StagedFile } from './staged-file.ts';

export const MANIFEST_NAME = 'manifest.json';
export const PANELS_FOLDER = 'panels';
/** Strips contain the same panels, so they have a separate folder to keep them from being printed twice. */
export const STRIPS_FOLDER = 'strips';
/** Small pieces that fill the waste beside the panels. */
export const FILL_FOLDER = 'fill';
export const CONTOURS_FOLDER = 'contours';
const STAGING = 'output';

const isOutput = (folder: string): boolean => existsSync(join(folder, MANIFEST_NAME));

export class StagedFolder {
  /** Where the files are until the folder is placed. */
  readonly path: string;
  /** The topmost parent folder that was created for it. */
  readonly #topmost: string | undefined;
  readonly #folders = new Set<string>();

  private constructor(path: string, topmost: string | undefined) {
    this.path = path;
    this.#topmost = topmost;
    this.#folders.add(path);
  }

  /** Starts a staging folder in `parent`, which is created if necessary. */
  static async begin(parent: string): Promise<StagedFolder> {
    const topmost = await makeFolder(parent);
    sweepPartials(parent, STAGING);
    for (const earlier of namesIn(parent).filter((name) => isOutput(join(parent, name))))
      sweepPartials(join(parent, earlier));
    const staged = new StagedFolder(partialPath(join(parent, STAGING)), topmost);
    try {
      await mkdir(staged.path);
      return staged;
    } catch (error) {
      await staged.abandon();
      throw error;
    }
  }

  /** Writes and syncs one file at its path in the folder. */
  async write(name: string, content: Uint8Array | string): Promise<HashedSize> {
    const file = await this.beginFile(name);
    try {
      await file.write(typeof content === 'string' ? new TextEncoder().encode(content) : content);
      return await file.finish();
    } finally {
      await file.close();
    }
  }

  /** Copies an existing file into the folder. */
  async copy(name: string, source: string, signal: AbortSignal): Promise<HashedSize> {
    const file = await this.beginFile(name);
    try {
      const chunks: AsyncIterable<Buffer> = createReadStream(source, { highWaterMark: 1 << 20, signal });
      for await (const chunk of chunks) await file.write(chunk);
      return await file.finish();
    } finally {
      await file.close();
    }
  }

  /** Starts one file, to be written piece by piece. */
  async beginFile(name: string): Promise<StagedFile> {
    const path = this.stagedPath(name);
    await mkdir(dirname(path), { recursive: true });
    this.#folders.add(dirname(path));
    return await StagedFile.begin(path);
  }

  /** Where a file is until the folder is placed. */
  stagedPath(name: string): string {
    return join(this.path, ...name.split(posix.sep));
  }

  /** Syncs the names of the files; the files themselves are already synced. */
  async finish(): Promise<void> {
    for (const folder of this.#folders) await syncFolder(folder);
  }

  /** Deletes everything, including parent folders that were created for it and are still empty. */
  async abandon(): Promise<void> {
    await rm(this.path, { recursive: true, force: true });
    if (this.#topmost === undefined) return;
    for (let folder = dirname(this.path); folder.length >= this.#topmost.length; folder = dirname(folder)) {
      const isRemoved = await rmdir(folder).then(
        () => true,
        () => false,
      );
      if (!isRemoved) return;
    }
  }
}

/** Writes all files to a staging folder in `parent`, or none. File errors become a problem. */
export async function stageTogether<T>(
  parent: string,
  write: (staged: StagedFolder) => Promise<Result<T>>,
): Promise<Result<T>> {
  return await tryFiles(parent, async () => {
    const staged = await StagedFolder.begin(parent);
    try {
      const written = await write(staged);
      if (written.ok) await staged.finish();
      else await staged.abandon();
      return written;
    } catch (error) {
      await staged.abandon();
      throw error;
    }
  });
}

/** Error codes of a rename to a name that is taken; Windows reports EPERM for a folder. */
const TAKEN: ReadonlySet<unknown> = new Set(['ENOTEMPTY', 'EEXIST', 'ENOTDIR', 'EISDIR', 'EPERM']);

/** Gives a staging folder its name, durably. False where that name is taken; the existing one stays unchanged. */
export async function placeStaged(staged: string, folder: string): Promise<boolean> {
  if (await isThere(folder)) return false;
  try {
    await rename(staged, folder);
  } catch (error) {
    if (TAKEN.has((error as NodeJS.ErrnoException).code) && (await isThere(folder))) return false;
    throw error;
  }
  await syncFolder(dirname(folder));
  return true;
}

const isThere = (path: string): Promise<boolean> =>
  lstat(path).then(
    () => true,
    () => false,
  );

/**
 * A set of files that appears in a folder together. Files are first written to a staging folder inside the
 * target; only when all of them are there do they move to their names, the manifest last. Whoever sees
 * a manifest therefore sees a whole run; a killed process leaves a staging folder that no one takes for output.
 */
import { randomBytes } from 'node:crypto';
import { mkdir, open, readdir, readFile, rename, rm, rmdir } from 'node:fs/promises';
import { dirname, join, posix } from 'node:path';
import { Manifest } from '../../core/manifest.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { PARTIAL_SUFFIX, syncFolder } from './atomic-write.ts';
import type { FileProblem } from './file-problem.ts';
import { fileHash, type HashedSize, sha256Hex } from './sha256.ts';

export const MANIFEST_NAME = 'manifest.json';
export const PANELS_FOLDER = 'panels';

export class StagedFolder {
  readonly folder: string;
  readonly #staging: string;
  readonly #names: string[] = [];

  private constructor(folder: string, staging: string) {
    this.folder = folder;
    this.#staging = staging;
  }

  /**
   * Begins a run in `folder`, made if need be. A folder that holds panels which no manifest accounts for is
   * refused: old and new panels side by side are how the wrong one gets printed.
   */
  static async begin(folder: string): Promise<Result<StagedFolder, FileProblem>> {
    await mkdir(folder, { recursive: true });
    const strangers = await unaccountedPanels(folder);
    if (strangers.length > 0) {
      return resultProblem({
        code: 'folder-in-use',
        message: `${join(folder, PANELS_FOLDER)} already holds files that are not from an unchanged earlier run: ${strangers.slice(0, 3).join(', ')}${strangers.length > 3 ? ' and others' : ''}.`,
        remedy: 'Choose an empty folder, or move these files away.',
      });
    }
    const staging = join(folder, `.run-${randomBytes(6).toString('hex')}${PARTIAL_SUFFIX}`);
    await mkdir(staging);
    return resultOk(new StagedFolder(folder, staging));
  }

  /** Writes and syncs one file of the run under its path within the folder. */
  async write(name: string, content: Uint8Array | string): Promise<HashedSize> {
    const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
    const path = this.stagedPath(name);
    await mkdir(dirname(path), { recursive: true });
    const file = await open(path, 'wx');
    try {
      await file.writeFile(bytes);
      await file.sync();
    } finally {
      await file.close();
    }
    this.#names.push(name);
    return { sha256: sha256Hex(bytes), sizeBytes: bytes.length };
  }

  /** Where a file of the run lies until the commit. */
  stagedPath(name: string): string {
    return join(this.#staging, ...name.split(posix.sep));
  }

  /** Moves all files to their names, replacing those of an earlier run, and removes what that run had beyond. */
  async commit(): Promise<void> {
    const earlier = await earlierManifest(this.folder);
    // From here to the last rename the folder has no manifest: it does not look finished.
    await rm(join(this.folder, MANIFEST_NAME), { force: true });
    for (const { file } of earlier?.files ?? []) {
      if (!this.#names.includes(file)) await rm(join(this.folder, ...file.split(posix.sep)), { force: true });
    }
    const isManifest = (name: string) => Number(name === MANIFEST_NAME);
    for (const name of this.#names.toSorted((a, b) => isManifest(a) - isManifest(b))) {
      const path = join(this.folder, ...name.split(posix.sep));
      await mkdir(dirname(path), { recursive: true });
      await rename(this.stagedPath(name), path);
      await syncFolder(dirname(path));
    }
    await rm(this.#staging, { recursive: true, force: true });
  }

  /** Gives the run up: nothing of it stays, nor an output folder that it alone had made. */
  async abandon(): Promise<void> {
    await rm(this.#staging, { recursive: true, force: true });
    await rmdir(this.folder).catch(() => undefined);
  }
}

async function unaccountedPanels(folder: string): Promise<string[]> {
  const present = await readdir(join(folder, PANELS_FOLDER)).catch(() => []);
  if (present.length === 0) return [];
  const known = new Map((await earlierManifest(folder))?.files.map(({ file, sha256 }) => [file, sha256]));
  const strangers: string[] = [];
  for (const name of present) {
    const expected = known.get(`${PANELS_FOLDER}/${name}`);
    const found = expected && (await fileHash(join(folder, PANELS_FOLDER, name)));
    if (!found || found.sha256 !== expected) strangers.push(name);
  }
  return strangers;
}

async function earlierManifest(folder: string): Promise<Manifest | undefined> {
  const text = await readFile(join(folder, MANIFEST_NAME), 'utf8').catch(() => undefined);
  if (text === undefined) return undefined;
  try {
    const parsed = Manifest.safeParse(JSON.parse(text));
    return parsed.success && parsed.data.files.every(({ file }) => isPlainPath(file))
      ? parsed.data
      : undefined;
  } catch {
    return undefined;
  }
}

/** A relative path that stays below its folder: a manifest is a file, and files can be tampered with. */
function isPlainPath(file: string): boolean {
  return file
    .split(/[\\/]/)
    .every((part) => part !== '' && part !== '.' && part !== '..' && !part.includes(':'));
}

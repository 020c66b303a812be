/**
 * A set of files that appears in a folder together. Files are first written to a staging folder inside the
 * target; only when all of them are there do they move to their names, the manifest last. Whoever sees
 * a manifest therefore sees a whole run; a killed process leaves a staging folder that no one takes for output.
 * The manifests in such a folder say which files beside it are the interrupted run's, so that the next one
 * can replace them.
 */
import { createReadStream } from 'node:fs';
import { mkdir, readdir, readFile, rename, rm, rmdir } from 'node:fs/promises';
import { basename, dirname, join, posix } from 'node:path';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import { manifestFromJson } from '../../core/output/manifest-json.ts';
import { abandonedPartials, partialPath, syncFolder, tryRemove } from './atomic-write.ts';
import { type FileProblem, tryFiles } from './file-problem.ts';
import { makeFolder } from './make-folder.ts';
import { type HashedSize, hashFile } from './sha256.ts';
import { StagedFile } from './staged-file.ts';

export type { StagedFile } from './staged-file.ts';

export const MANIFEST_NAME = 'manifest.json';
export const PANELS_FOLDER = 'panels';
/** Strips are the same panels once more: they stand apart, so that nobody prints both. */
export const STRIPS_FOLDER = 'strips';
const STAGING = 'run';
/** In a staging folder: the manifest of the run that is being replaced. */
const EARLIER_NAME = 'earlier-manifest.json';

/** In a staging folder: what the earlier run had under the names of this one, until this one stands. */
const REPLACED_PREFIX = 'replaced-';

/** Staging folders of this process that could not be cleared away; their runs are over all the same. */
const givenUp = new Set<string>();

interface Move {
  readonly from: string;
  readonly to: string;
}

/** Moves everything back, the last first. False where something could not be. */
async function undoMoves(moves: readonly Move[]): Promise<boolean> {
  let isWhole = true;
  for (const { from, to } of moves.toReversed()) {
    await rename(to, from).catch(() => {
      isWhole = false;
    });
  }
  return isWhole;
}

export class StagedFolder {
  readonly folder: string;
  readonly #staging: string;
  readonly #earlier: EarlierRuns;
  readonly #names: string[] = [];

  private constructor(folder: string, staging: string, earlier: EarlierRuns) {
    this.folder = folder;
    this.#staging = staging;
    this.#earlier = earlier;
  }

  /**
   * Begins a run in `folder`, made if need be. A folder that holds panels which no manifest accounts for is
   * refused: old and new panels side by side are how the wrong one gets printed.
   */
  static async begin(folder: string): Promise<Result<StagedFolder, FileProblem>> {
    await makeFolder(folder);
    const earlier = await readEarlierRuns(folder);
    for (const subfolder of [PANELS_FOLDER, STRIPS_FOLDER]) {
      const strangers = await unaccountedFiles(folder, subfolder, earlier);
      if (strangers.length === 0) continue;
      return resultProblem({
        code: 'folder-in-use',
        message: `${join(folder, subfolder)} already holds files that are not from an unchanged earlier run: ${strangers.slice(0, 3).join(', ')}${strangers.length > 3 ? ' and others' : ''}.`,
        remedy: 'Choose an empty folder, or move these files away.',
      });
    }
    const staging = partialPath(join(folder, STAGING));
    await mkdir(staging);
    return resultOk(new StagedFolder(folder, staging, earlier));
  }

  /** Writes and syncs one file of the run under its path within the folder. */
  async write(name: string, content: Uint8Array | string): Promise<HashedSize> {
    const file = await this.beginFile(name);
    try {
      await file.write(typeof content === 'string' ? new TextEncoder().encode(content) : content);
      return await file.finish();
    } finally {
      await file.close();
    }
  }

  /** Copies a file from elsewhere into the run. */
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

  /** Begins one file of the run, to be written piece by piece. */
  async beginFile(name: string): Promise<StagedFile> {
    const path = this.stagedPath(name);
    await mkdir(dirname(path), { recursive: true });
    const file = await StagedFile.begin(path);
    this.#names.push(name);
    return file;
  }

  /** Where a file of the run lies until the commit. */
  stagedPath(name: string): string {
    return join(this.#staging, ...name.split(posix.sep));
  }

  /**
   * Moves all files to their names, replacing those of an earlier run, and removes what that run had beyond. Where the
   * disk refuses on the way, everything goes back to where it was and the error is thrown on.
   */
  async commit(): Promise<void> {
    const moves: Move[] = [];
    const move = async (from: string, to: string): Promise<void> => {
      await rename(from, to);
      moves.push({ from, to });
    };
    try {
      await this.#moveIntoPlace(move);
    } catch (error) {
      // What cannot go back now is found by the next run, as after a kill.
      if (await undoMoves(moves)) await rm(this.#staging, { recursive: true, force: true });
      else givenUp.add(this.#staging);
      throw error;
    }
    for (const interrupted of [this.#staging, ...this.#earlier.interrupted]) {
      await rm(interrupted, { recursive: true, force: true });
    }
  }

  async #moveIntoPlace(move: (from: string, to: string) => Promise<void>): Promise<void> {
    const inFolder = (name: string): string => join(this.folder, ...name.split(posix.sep));
    await syncFolder(this.#staging);
    // From here to the last rename the folder has no manifest: it does not look finished.
    await move(join(this.folder, MANIFEST_NAME), this.stagedPath(EARLIER_NAME)).catch(ignoreAbsence);
    await syncFolder(this.folder);
    const replaced = [...new Set([...this.#earlier.hashes.keys(), ...this.#names])];
    for (const [index, name] of replaced.entries()) {
      if (name !== MANIFEST_NAME)
        await move(inFolder(name), join(this.#staging, `${REPLACED_PREFIX}${index}`)).catch(ignoreAbsence);
    }
    const isManifest = (name: string) => Number(name === MANIFEST_NAME);
    for (const name of this.#names.toSorted((a, b) => isManifest(a) - isManifest(b))) {
      const path = inFolder(name);
      await mkdir(dirname(path), { recursive: true });
      await move(this.stagedPath(name), path);
      await syncFolder(dirname(path));
    }
  }

  /** Gives the run up: nothing of it stays, nor an output folder that it alone had made. */
  async abandon(): Promise<void> {
    await rm(this.#staging, { recursive: true, force: true });
    await rmdir(this.folder).catch(() => undefined);
  }
}

/** Writes files to a folder together or not at all; what the system refuses becomes a problem. */
export async function writeTogether<T>(
  folder: string,
  write: (staged: StagedFolder) => Promise<Result<T>>,
): Promise<Result<T>> {
  return await tryFiles(folder, async () => {
    const staged = await StagedFolder.begin(folder);
    if (!staged.ok) return staged;
    const written = await write(staged.value).catch(async (error: unknown) => {
      await staged.value.abandon();
      throw error;
    });
    await (written.ok ? staged.value.commit() : staged.value.abandon());
    return written;
  });
}

/** What is in an output folder by this program's own doing. */
interface EarlierRuns {
  /** By file, the SHA-256 that it has as written; two where a run was killed while it replaced another. */
  readonly hashes: ReadonlyMap<string, ReadonlySet<string>>;
  /** Staging folders that are still needed to know the files of a run that was killed on its last steps. */
  readonly interrupted: readonly string[];
}

/** Looks at the folder's manifest and at what killed runs left; those that had moved no file yet are swept. */
async function readEarlierRuns(folder: string): Promise<EarlierRuns> {
  const manifests = [await readManifestAt(join(folder, MANIFEST_NAME))];
  const interrupted: string[] = [];
  const own = [...givenUp].filter((staging) => dirname(staging) === folder).map((path) => basename(path));
  for (const name of [...abandonedPartials(folder, STAGING), ...own]) {
    const staging = join(folder, name);
    const found = [
      await readManifestAt(join(staging, MANIFEST_NAME)),
      await readManifestAt(join(staging, EARLIER_NAME)),
    ];
    if (found.some((manifest) => manifest !== undefined)) interrupted.push(staging);
    else tryRemove(staging);
    manifests.push(...found);
  }
  const hashes = new Map<string, Set<string>>();
  for (const { file, sha256 } of manifests.flatMap((manifest) => manifest?.files ?? [])) {
    hashes.set(file, (hashes.get(file) ?? new Set()).add(sha256));
  }
  return { hashes, interrupted };
}

async function unaccountedFiles(
  folder: string,
  subfolder: string,
  { hashes }: EarlierRuns,
): Promise<string[]> {
  const present = await readdir(join(folder, subfolder)).catch(() => []);
  const strangers: string[] = [];
  for (const name of present) {
    const expected = hashes.get(`${subfolder}/${name}`);
    const found = expected && (await hashFile(join(folder, subfolder, name)));
    if (!found || !expected.has(found.sha256)) strangers.push(name);
  }
  return strangers;
}

/** A manifest whose names can be trusted; undefined where there is none. */
async function readManifestAt(path: string): Promise<Manifest | undefined> {
  const text = await readFile(path, 'utf8').catch(() => undefined);
  const manifest = manifestFromJson(text, `in ${path}`);
  return manifest.ok && manifest.value.files.every(({ file }) => isPlainPath(file))
    ? manifest.value
    : undefined;
}

function ignoreAbsence(error: unknown): void {
  if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
}

/** A relative path that stays below its folder: a manifest is a file, and files can be tampered with. */
function isPlainPath(file: string): boolean {
  return file
    .split(/[\\/]/)
    .every((part) => part !== '' && part !== '.' && part !== '..' && !part.includes(':'));
}

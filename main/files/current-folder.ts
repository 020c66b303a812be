/**
 * `current`: the folder of a job that production prints from. It contains verified print files of one layout, and a
 * manifest that says which output wrote each. The files are copies, so changing them does not change an output.
 *
 * New files are first copied beside their final places and compared with their hashes. Then the entries that will
 * change are removed from the manifest, old files are deleted, the copies get their final names, and the manifest lists
 * them. So at any moment, even after a kill, every listed file exists as listed. Files that no output of the job wrote
 * are never changed.
 */
import { constants } from 'node:fs';
import { copyFile, mkdir, open, readdir, readFile, rename, rm } from 'node:fs/promises';
import { dirname, join, posix } from 'node:path';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { type CurrentFile, CurrentManifest, currentChange } from '../../core/output/current-manifest.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import { isPartial, partialPath, sweepPartials, syncFolder, writeFileAtomically } from './atomic-write.ts';
import { type FileProblem, tryFiles } from './file-problem.ts';
import { lockedBy } from './folder-lock.ts';
import { CURRENT_FOLDER, outputManifests } from './job-folder.ts';
import { makeFolder } from './make-folder.ts';
import { hashFile } from './sha256.ts';
import { MANIFEST_NAME, PANELS_FOLDER, STRIPS_FOLDER } from './staged-folder.ts';

const LOCK_NAME = '.lock';

export interface VerifiedOutput {
  readonly folder: string;
  readonly number: number;
  readonly manifest: Manifest;
}

export interface CurrentUpdate {
  readonly folder: string;
  /** Paths relative to the folder. */
  readonly left: readonly string[];
  /** Files that no output of the job wrote; they stay. */
  readonly strangers: readonly string[];
  /** Whether the folder now has the output; false where it has a later one. */
  readonly isChanged: boolean;
}

/** Puts a verified output into its job's `current` folder. Problems: `folder-in-use`, those of files, `cancelled`. */
export async function updateCurrent(
  output: VerifiedOutput,
  signal: AbortSignal,
): Promise<Result<CurrentUpdate>> {
  const jobFolder = dirname(output.folder);
  const folder = join(jobFolder, CURRENT_FOLDER);
  return await tryFiles(folder, async () => {
    await makeFolder(folder);
    return await lockedBy(
      join(folder, LOCK_NAME),
      signal,
      async () => await updateLocked(output, folder, signal),
    );
  });
}

async function updateLocked(
  output: VerifiedOutput,
  folder: string,
  signal: AbortSignal,
): Promise<Result<CurrentUpdate>> {
  for (const swept of [folder, join(folder, PANELS_FOLDER), join(folder, STRIPS_FOLDER)])
    sweepPartials(swept);
  const text = await readFile(join(folder, MANIFEST_NAME), 'utf8').catch(ignoreAbsence);
  const current = text === undefined ? undefined : currentFromText(text);
  if (text !== undefined && current?.job.id !== output.manifest.job.id) {
    return resultProblem(notOurs(folder, [MANIFEST_NAME]));
  }
  const change = currentChange(current, output.number, output.manifest);
  const lying = await lyingFiles(folder, output, current);
  if (!change) return resultOk({ folder, left: [], strangers: lying.strangers, isChanged: false });
  const inTheWay = change.coming.map(({ file }) => file).filter((file) => lying.strangers.includes(file));
  if (inTheWay.length > 0) return resultProblem(notOurs(folder, inTheWay));

  const coming = change.coming.filter(({ file, sha256 }) => lying.own.get(file) !== sha256);
  // A file is replaced in place only if both are of one layout. Unlisted files come from a killed update.
  const isSameLayout = current?.layout === change.manifest.layout;
  const replaceable = new Set(isSameLayout ? current.files.map(({ file }) => file) : []);
  const wanted = new Map(change.manifest.files.map(({ file, sha256 }) => [file, sha256]));
  const leaving = [...lying.own].flatMap(([file, sha256]) => {
    const stays = wanted.get(file) === sha256 || (wanted.has(file) && replaceable.has(file));
    return stays ? [] : [file];
  });
  const copied = await copyComing(coming, output.folder, folder, signal);
  try {
    const changing = new Set([...coming.map(({ file }) => file), ...leaving]);
    const meanwhile = change.manifest.files.filter(
      ({ file, sha256 }) => !changing.has(file) && lying.own.get(file) === sha256,
    );
    await writeManifest(folder, { ...change.manifest, files: meanwhile });
    for (const file of leaving) await rm(pathIn(folder, file), { force: true });
    for (const [file, partial] of copied) await rename(partial, pathIn(folder, file));
    for (const subfolder of [PANELS_FOLDER, STRIPS_FOLDER]) await syncIfThere(join(folder, subfolder));
    await writeManifest(folder, change.manifest);
  } catch (error) {
    await removeAll(copied);
    throw error;
  }
  const left = leaving.filter((file) => !wanted.has(file));
  return resultOk({ folder, left, strangers: lying.strangers, isChanged: true });
}

interface LyingFiles {
  /** Unchanged print files that outputs of the job wrote, with their hashes. */
  readonly own: ReadonlyMap<string, string>;
  readonly strangers: readonly string[];
}

/** The files in the folder, by hash: a file that was changed by hand belongs to no output. */
async function lyingFiles(
  folder: string,
  { folder: outputFolder, number, manifest }: VerifiedOutput,
  current: CurrentManifest | undefined,
): Promise<LyingFiles> {
  const outputs = await outputManifests(dirname(outputFolder));
  const written = new Map<string, Set<string | undefined>>();
  for (const { file, sha256 } of [
    ...(current?.files ?? []),
    ...[...outputs.set(number, manifest).values()].flatMap(({ files }) => files),
  ]) {
    written.set(file, (written.get(file) ?? new Set()).add(sha256));
  }
  const own = new Map<string, string>();
  const strangers: string[] = [];
  for (const file of await filesBelow(folder)) {
    const hashes = isPrintFile(file) ? written.get(file) : undefined;
    const { sha256 } = hashes ? await hashFile(pathIn(folder, file)) : { sha256: undefined };
    if (sha256 !== undefined && present(hashes, 'What the outputs of a job wrote').has(sha256))
      own.set(file, sha256);
    else strangers.push(file);
  }
  return { own, strangers };
}

const isPrintFile = (file: string): boolean => [PANELS_FOLDER, STRIPS_FOLDER].includes(posix.dirname(file));

/** All files except the manifest and unfinished ones. */
async function filesBelow(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => !entry.isDirectory() && !isPartial(entry.name) && entry.name !== LOCK_NAME)
    .map(({ parentPath, name }) =>
      join(parentPath, name)
        .slice(folder.length + 1)
        .replaceAll('\\', '/'),
    )
    .filter((file) => file !== MANIFEST_NAME)
    .sort();
}

/** Copies the new files beside their final places and checks their verified hashes. */
async function copyComing(
  coming: readonly CurrentFile[],
  from: string,
  to: string,
  signal: AbortSignal,
): Promise<[string, string][]> {
  const copied: [string, string][] = [];
  try {
    for (const file of coming) {
      signal.throwIfAborted();
      const path = pathIn(to, file.file);
      await mkdir(dirname(path), { recursive: true });
      const partial = partialPath(path);
      copied.push([file.file, partial]);
      await copyFile(pathIn(from, file.file), partial, constants.COPYFILE_FICLONE);
      await syncFile(partial);
      const { sha256 } = await hashFile(partial, { signal });
      if (sha256 !== file.sha256) throw changedSince(pathIn(from, file.file));
    }
    return copied;
  } catch (error) {
    await removeAll(copied);
    throw error;
  }
}

async function removeAll(copied: readonly [string, string][]): Promise<void> {
  for (const [, partial] of copied) await rm(partial, { force: true });
}

const changedSince = (path: string): Error =>
  Object.assign(new Error(`${path} was changed after it was verified.`), { code: 'FILE_CHANGED' });

async function writeManifest(folder: string, manifest: CurrentManifest): Promise<void> {
  await writeFileAtomically(join(folder, MANIFEST_NAME), `${JSON.stringify(manifest, undefined, 2)}\n`);
}

async function syncFile(path: string): Promise<void> {
  const handle = await open(path, 'r+');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

const syncIfThere = async (folder: string): Promise<unknown> => await syncFolder(folder).catch(ignoreAbsence);

const pathIn = (folder: string, file: string): string => join(folder, ...file.split(posix.sep));

function currentFromText(text: string): CurrentManifest | undefined {
  try {
    return CurrentManifest.safeParse(JSON.parse(text)).data;
  } catch {
    return undefined;
  }
}

function ignoreAbsence(error: unknown): undefined {
  if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
  return undefined;
}

const notOurs = (folder: string, files: readonly string[]): FileProblem => ({
  code: 'folder-in-use',
  message: `${folder} was left as it is: this job’s outputs did not write ${files.join(', ')} as it is there now.`,
  remedy: 'Move it away, then verify the output again.',
});

/**
 * Files appear whole or not at all: they are written under a temporary name in the same folder, synced, and renamed.
 * `sweepPartials` removes what a killed process left.
 */
import { readdirSync, rmSync, statSync } from 'node:fs';
import { type FileHandle, open, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { makeFolder } from './make-folder.ts';
import { sha256Hex } from './sha256.ts';
import { isAbandoned, TEMPORARY_TAG, temporaryTag } from './temporary-owner.ts';

/**
 * Names of unfinished files and folders: `.manifest.json.1f09ab-4711-5d2c….partial`. The tag is part of the pattern
 * because other programs also use `.partial`.
 */
const PARTIAL = new RegExp(`^\\..*\\.${TEMPORARY_TAG.source}\\.partial$`);

export const isPartial = (name: string): boolean => PARTIAL.test(name);

export function partialPath(path: string): string {
  return join(dirname(path), `${partialPrefix(basename(path))}${temporaryTag()}.partial`);
}

/** File systems allow names of 255 bytes; the tag needs some of them. */
const MOST_NAME_BYTES = 200;

const partialPrefix = (name: string): string =>
  Buffer.byteLength(name) <= MOST_NAME_BYTES ? `.${name}.` : `.${sha256Hex(Buffer.from(name))}.`;

/** Runs `write` on a new temporary file. Renames it to `path` when that succeeds, removes it when it fails. */
export async function writeAtomically(
  path: string,
  write: (file: FileHandle) => Promise<void>,
): Promise<void> {
  const partial = partialPath(path);
  await makeFolder(dirname(path));
  sweepPartials(dirname(path), basename(path));
  try {
    const file = await open(partial, 'wx');
    try {
      await write(file);
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(partial, path);
    await syncFolder(dirname(path));
  } catch (error) {
    await rm(partial, { force: true });
    throw error;
  }
}

export async function writeFileAtomically(path: string, content: Uint8Array | string): Promise<void> {
  await writeAtomically(path, (file) => file.writeFile(content));
}

/** Makes a rename durable. Windows cannot open folders, and does not need this sync. */
export async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return;
  const handle = await open(folder, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** Abandoned partials in `folder`: those of the file or folder `name`, or all if it is absent. */
export function abandonedPartials(folder: string, name?: string, nowMs = Date.now()): string[] {
  const prefix = name === undefined ? '.' : partialPrefix(name);
  return namesIn(folder).filter((found) => {
    if (!found.startsWith(prefix) || !isPartial(found)) return false;
    const changedMs = statSync(join(folder, found), { throwIfNoEntry: false })?.mtimeMs;
    return changedMs !== undefined && isAbandoned(found, changedMs, nowMs);
  });
}

/**
 * Removes abandoned partials, see `abandonedPartials`, and returns their names. Errors are ignored, because a failed
 * clean-up must not stop any work.
 */
export function sweepPartials(folder: string, name?: string, nowMs = Date.now()): string[] {
  return abandonedPartials(folder, name, nowMs).filter((found) => tryRemove(join(folder, found)));
}

export function tryRemove(path: string): boolean {
  try {
    rmSync(path, { recursive: true, force: true });
    return true;
  } catch {
    return false;
  }
}

/** Empty where the folder cannot be read. */
export function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

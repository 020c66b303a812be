/**
 * Files appear whole or not at all: written under a temporary name in the same folder, synced, renamed.
 * A name that ends in PARTIAL_SUFFIX is never a finished file; `sweepPartials` removes what a killed
 * process left behind.
 */
import { randomBytes } from 'node:crypto';
import { type FileHandle, mkdir, open, readdir, rename, rm, stat } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';

export const PARTIAL_SUFFIX = '.partial';

/** A partial file older than this belongs to nobody: no single write takes a day. */
const ABANDONED_AFTER_MS = 24 * 3600 * 1000;

export function partialPath(path: string): string {
  return join(dirname(path), `.${basename(path)}.${randomBytes(6).toString('hex')}${PARTIAL_SUFFIX}`);
}

/** Runs `write` on a new temporary file; renames it to `path` when that succeeds, removes it when it fails. */
export async function writeAtomically(
  path: string,
  write: (file: FileHandle) => Promise<void>,
): Promise<void> {
  const partial = partialPath(path);
  await mkdir(dirname(path), { recursive: true });
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

/** Makes a rename durable. Windows cannot open folders, and needs no such sync. */
export async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return;
  const handle = await open(folder, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** Removes abandoned partial files of `folder`; returns their names. Younger ones may be another process at work. */
export async function sweepPartials(
  folder: string,
  nowMs: number,
  olderThanMs = ABANDONED_AFTER_MS,
): Promise<string[]> {
  const removed: string[] = [];
  for (const name of await readdir(folder)) {
    if (!name.endsWith(PARTIAL_SUFFIX)) continue;
    const path = join(folder, name);
    const { mtimeMs } = await stat(path);
    if (nowMs - mtimeMs < olderThanMs) continue;
    await rm(path, { recursive: true, force: true });
    removed.push(name);
  }
  return removed;
}

import { mkdirSync, statSync } from 'node:fs';
import { mkdir, stat } from 'node:fs/promises';
import { dirname } from 'node:path';

/** Only its user may read the archive, but outputs are read by others, such as a RIP with another account. */
export const PRIVATE_FOLDER = 0o700;
export const PRIVATE_FILE = 0o600;

/**
 * Makes a folder and its missing parents. Node's own recursive `mkdir` reports for a read-only disk that the folder
 * does not exist, and never ends below a folder that refuses with ENOENT, as /proc does. Made one by one, the folders
 * give the system's real error. Without a mode, the user's umask decides who may read. Returns the topmost folder that
 * was missing.
 */
export async function makeFolder(path: string, mode?: number): Promise<string | undefined> {
  try {
    await mkdir(path, { mode });
    return path;
  } catch (error) {
    if (await stat(path).then(isFolder, () => false)) return undefined;
    if (!isParentMissing(error, path)) throw error;
    const topmost = await makeFolder(dirname(path), mode);
    return (await makeOne(path, mode)) ? (topmost ?? path) : topmost;
  }
}

/** False where another program has made it meanwhile. */
async function makeOne(path: string, mode: number | undefined): Promise<boolean> {
  try {
    await mkdir(path, { mode });
    return true;
  } catch (error) {
    if (await stat(path).then(isFolder, () => false)) return false;
    throw error;
  }
}

export function makeFolderSync(path: string, mode?: number): void {
  try {
    mkdirSync(path, { mode });
  } catch (error) {
    if (statSync(path, { throwIfNoEntry: false })?.isDirectory()) return;
    const parent = dirname(path);
    if (!isParentMissing(error, path) || statSync(parent, { throwIfNoEntry: false })) throw error;
    makeFolderSync(parent, mode);
    makeFolderSync(path, mode);
  }
}

const isFolder = (state: { isDirectory(): boolean }): boolean => state.isDirectory();

const isParentMissing = (error: unknown, path: string): boolean =>
  (error as NodeJS.ErrnoException).code === 'ENOENT' && dirname(path) !== path;

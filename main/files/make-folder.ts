import { mkdir, stat } from 'node:fs/promises';
import { dirname } from 'node:path';

/** What the archive keeps is its user's alone; an output is read by others, such as a RIP under another account. */
export const PRIVATE_FOLDER = 0o700;
export const PRIVATE_FILE = 0o600;

/**
 * Makes a folder and those above it. Node's own recursive `mkdir` says of a read-only disk that the folder
 * does not exist; made one by one, the system's reason comes through. Without a mode, the user's umask says who may read.
 * Returns the topmost folder that was not there.
 */
export async function makeFolder(path: string, mode?: number): Promise<string | undefined> {
  try {
    return await mkdir(path, { recursive: true, mode });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
    const topmost = await topmostMissing(path);
    await mkdir(topmost, { mode });
    await mkdir(path, { recursive: true, mode });
    return topmost;
  }
}

async function topmostMissing(path: string): Promise<string> {
  const parent = dirname(path);
  const isParentThere = await stat(parent).then(
    () => true,
    () => false,
  );
  return isParentThere || parent === path ? path : topmostMissing(parent);
}

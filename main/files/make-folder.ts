import { mkdir, stat } from 'node:fs/promises';
import { dirname } from 'node:path';

/**
 * Makes a folder and those above it. Node's own recursive `mkdir` says of a read-only disk that the folder
 * does not exist; made one by one, the system's reason comes through. Returns the topmost folder that was not there.
 */
export async function makeFolder(path: string): Promise<string | undefined> {
  try {
    return await mkdir(path, { recursive: true });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
    const topmost = await topmostMissing(path);
    await mkdir(topmost);
    await mkdir(path, { recursive: true });
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

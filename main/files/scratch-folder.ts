/** Folders for short use in the system's temporary folder. They are removed after use, or by a later start. */
import { mkdirSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { namesIn, tryRemove } from './atomic-write.ts';
import { errorPlaced } from './file-problem.ts';
import { isAbandoned, TEMPORARY_TAG, temporaryTag } from './temporary-owner.ts';

const SCRATCH = new RegExp(`^panelwright-[a-z]+-${TEMPORARY_TAG.source}$`);

/** Makes a new folder that no other user of the machine can read. `purpose` is one word. */
export function makeScratchFolder(purpose: string): string {
  const folder = join(tmpdir(), `panelwright-${purpose}-${temporaryTag()}`);
  try {
    mkdirSync(folder, { mode: 0o700 });
  } catch (error) {
    throw errorPlaced(error, `The folder for temporary files, ${tmpdir()},`);
  }
  return folder;
}

/** Removes scratch folders of processes that were killed; returns their names. */
export function sweepScratch(nowMs = Date.now()): string[] {
  const root = tmpdir();
  return namesIn(root).filter((name) => {
    if (!SCRATCH.test(name)) return false;
    const changedMs = statSync(join(root, name), { throwIfNoEntry: false })?.mtimeMs;
    return changedMs !== undefined && isAbandoned(name, changedMs, nowMs) && tryRemove(join(root, name));
  });
}

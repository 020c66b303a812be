/** Allows one writer at a time in a folder, among all processes and machines that can see it. */
import { open, readFile, rename, rm, stat, utimes } from 'node:fs/promises';
import { setTimeout } from 'node:timers/promises';
import { partialPath } from './atomic-write.ts';
import { isAbandoned, isOfThisMachine, temporaryTag } from './temporary-owner.ts';

const LOOK_AGAIN_MS = 50;
/** Writing the owner into a new lock takes a moment. If it takes longer than this, the owner was killed there. */
const NAMELESS_MS = 10_000;
/** A holder renews its lock this often, because another machine cannot see whether its process still runs. */
const SHOW_MS = 60_000;
/** Clocks of machines differ by less than this, and a disconnected share comes back sooner. */
const UNSEEN_MS = 15 * 60_000;

/** Runs `work` while a lock file at `path` names its owner. Waits for other owners, unless they were killed. */
export async function lockedBy<T>(path: string, signal: AbortSignal, work: () => Promise<T>): Promise<T> {
  const tag = temporaryTag();
  while (!(await tookLock(path, tag))) {
    signal.throwIfAborted();
    if (!(await clearAbandoned(path))) await setTimeout(LOOK_AGAIN_MS, undefined, { signal });
  }
  const showing = setInterval(async () => {
    const now = new Date();
    await utimes(path, now, now).catch(() => undefined);
  }, SHOW_MS).unref();
  try {
    return await work();
  } finally {
    clearInterval(showing);
    await rm(path, { force: true });
  }
}

async function tookLock(path: string, tag: string): Promise<boolean> {
  try {
    const file = await open(path, 'wx');
    try {
      await file.writeFile(tag);
    } finally {
      await file.close();
    }
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  }
}

/** The lock is moved before it is removed, so that only one of two programs that find it removes it. */
async function clearAbandoned(path: string): Promise<boolean> {
  const state = await stat(path).catch(() => undefined);
  if (!state) return true;
  const owner = await readFile(path, 'utf8').catch(() => '');
  const unseenMs = Date.now() - state.mtimeMs;
  const isOver =
    owner === ''
      ? unseenMs > NAMELESS_MS
      : isAbandoned(owner, state.mtimeMs, Date.now()) || (!isOfThisMachine(owner) && unseenMs > UNSEEN_MS);
  if (!isOver) return false;
  const aside = partialPath(path);
  const isMine = await rename(path, aside).then(
    () => true,
    () => false,
  );
  if (isMine) await rm(aside, { force: true });
  return isMine;
}

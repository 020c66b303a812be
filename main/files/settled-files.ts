/**
 * Yields files added to a folder once no program writes to them any more. The folder is read again and again, because a
 * network share does not report changes.
 *
 *     for await (const file of settledFiles({ folder, isWanted: (name) => /\.pdf$/i.test(name), signal })) take(file);
 */
import { open, readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';

export interface SettledFile {
  readonly path: string;
  /** Path relative to the folder, with forward slashes. */
  readonly name: string;
  readonly sizeBytes: number;
  readonly modifiedMs: number;
}

export interface FolderWatch {
  readonly folder: string;
  /**
   * Called with the path relative to the folder: `van.pdf`, `Panel van/van.pdf`. Only one level of subfolders is read.
   */
  isWanted(name: string): boolean;
  readonly signal: AbortSignal;
  /** Time between two reads of the folder. */
  readonly everyMs?: number;
}

/** A file that did not change for this time is settled. */
export const QUIET_MS = 2_000;
/** A copy over a network may pause, so a PDF without its end marker waits this long before it counts as settled. */
export const ENDLESS_MS = 60_000;
const LOOK_EVERY_MS = 2_000;
/** ISO 32000-1 Annex H, implementation note 18: the end marker of a PDF is in its last 1,024 bytes. */
const END_BYTES = 1024;

/** Yields each file once, and again after it changes. Ends with the signal; a folder that disappears may come back. */
export async function* settledFiles(watch: FolderWatch): AsyncGenerator<SettledFile> {
  const look = folderLook(watch);
  while (!watch.signal.aborted) {
    yield* await look(performance.now());
    await setTimeout(watch.everyMs ?? LOOK_EVERY_MS, undefined, { signal: watch.signal }).catch(
      () => undefined,
    );
  }
}

interface Seen {
  readonly sizeBytes: number;
  readonly modifiedMs: number;
  readonly sinceMs: number;
  readonly isGiven: boolean;
}

/** Returns a function to call with a clock that only goes forward; it returns the files settled since the last call. */
export function folderLook({ folder, isWanted }: Pick<FolderWatch, 'folder' | 'isWanted'>) {
  let before = new Map<string, Seen>();
  return async (nowMs: number): Promise<readonly SettledFile[]> => {
    const seen = new Map<string, Seen>();
    const settled: SettledFile[] = [];
    for (const name of (await namesBelow(folder)).filter(isWanted)) {
      const path = join(folder, name);
      const state = await stat(path).catch(() => undefined);
      if (!state?.isFile()) continue;
      const { size: sizeBytes, mtimeMs: modifiedMs } = state;
      const last = before.get(name);
      const isSame = last?.sizeBytes === sizeBytes && last.modifiedMs === modifiedMs;
      const sinceMs = isSame ? last.sinceMs : nowMs;
      const isGiven = isSame && last.isGiven;
      const isSettled = !isGiven && (await hasSettled(path, sizeBytes, nowMs - sinceMs));
      if (isSettled) settled.push({ path, name, sizeBytes, modifiedMs });
      seen.set(name, { sizeBytes, modifiedMs, sinceMs, isGiven: isGiven || isSettled });
    }
    before = seen;
    return settled;
  };
}

async function hasSettled(path: string, sizeBytes: number, quietMs: number): Promise<boolean> {
  if (quietMs < QUIET_MS) return false;
  const isLong = quietMs >= ENDLESS_MS;
  if (sizeBytes === 0) return isLong;
  // A file held by another program cannot be opened on some systems.
  const end = await endOf(path, sizeBytes).catch(() => undefined);
  return end !== undefined && (isLong || !/\.pdf$/i.test(path) || end.includes('%%EOF'));
}

async function endOf(path: string, sizeBytes: number): Promise<string> {
  const file = await open(path, 'r');
  try {
    const length = Math.min(END_BYTES, sizeBytes);
    const { buffer, bytesRead } = await file.read(Buffer.alloc(length), 0, length, sizeBytes - length);
    return buffer.toString('latin1', 0, bytesRead);
  } finally {
    await file.close();
  }
}

/** Sorted, files of the folder itself first. A folder that cannot be read counts as empty. */
async function namesBelow(folder: string): Promise<string[]> {
  const found = await readdir(folder, { withFileTypes: true }).catch(() => []);
  const named = (isFolder: boolean) =>
    found
      .filter((entry) => entry.isDirectory() === isFolder && !entry.name.startsWith('.'))
      .map(({ name }) => name)
      .sort();
  const below: string[] = [];
  for (const inner of named(true)) {
    const names = await readdir(join(folder, inner)).catch(() => []);
    below.push(
      ...names
        .filter((name) => !name.startsWith('.'))
        .sort()
        .map((name) => `${inner}/${name}`),
    );
  }
  return [...named(false), ...below];
}

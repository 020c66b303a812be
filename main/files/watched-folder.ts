/**
 * The files of a watched folder while they are processed. Each file gets its own folder, which moves as a whole:
 *
 *     FOLDER/van.pdf, van.txt          come in
 *     FOLDER/_work/van/                in progress: the files, and `taken.json`, which says where they came from
 *     FOLDER/_done/van/                became a job; its output is written and verified
 *     FOLDER/_waiting/van/             became a job that waits for an operator
 *     FOLDER/_refused/van/             could not be used; `why.txt` says why
 *     FOLDER/_log.txt                  one sentence for each
 *
 * A program that was killed finds its unfinished files in `_work`.
 */
import { randomUUID } from 'node:crypto';
import { appendFile, mkdir, readdir, readFile, rename, rm, stat } from 'node:fs/promises';
import { basename, dirname, extname, join } from 'node:path';
import { z } from 'zod';
import { writeFileAtomically } from './atomic-write.ts';
import { makeFolder } from './make-folder.ts';

export const WATCHED_ENDS = ['done', 'waiting', 'refused'] as const;
export type WatchedEnd = (typeof WATCHED_ENDS)[number];

const WORK = '_work';
export const OUT_FOLDER = '_out';
const LOG_NAME = '_log.txt';
const TAKEN_NAME = 'taken.json';
const SIDECAR = '.txt';
const MOST_SIDECAR_BYTES = 100_000;

const Taken = z.strictObject({
  /** Its original path, relative to the watched folder. */
  from: z.string(),
  /** Created once, so that the job made from the file can be recognized. */
  id: z.string(),
  /** The content of the text file beside it. */
  sidecar: z.string().optional(),
});

export interface TakenFile extends z.infer<typeof Taken> {
  readonly path: string;
  readonly fileName: string;
  /** The subfolder that it was in; absent where it was directly in the watched folder. */
  readonly inFolder?: string;
  /** Its own folder; other files about it go there too. */
  readonly folder: string;
}

export const isIncoming = (name: string): boolean => /\.pdf$/i.test(name) && !name.startsWith('_');

/** Takes a settled file and the text file beside it. Rejects with the errors of files. */
export async function takeFile(folder: string, from: string): Promise<TakenFile> {
  const own = await freeFolder(join(folder, WORK), stemOf(from));
  const sidecar = await sidecarOf(join(folder, from));
  const taken = { from, id: randomUUID(), ...(sidecar !== undefined && { sidecar }) };
  await writeFileAtomically(join(own, TAKEN_NAME), JSON.stringify(taken));
  return await movedIn(folder, own, taken);
}

/** Files that were in progress when the program ended. A folder whose file was moved elsewhere meanwhile is removed. */
export async function begunFiles(folder: string): Promise<TakenFile[]> {
  const found: TakenFile[] = [];
  for (const name of (await namesIn(join(folder, WORK))).sort()) {
    const own = join(folder, WORK, name);
    const taken = Taken.safeParse(await jsonAt(join(own, TAKEN_NAME))).data;
    const isThere =
      taken && ((await exists(join(own, basename(taken.from)))) || (await exists(join(folder, taken.from))));
    if (isThere) found.push(await movedIn(folder, own, taken));
    else if ((await namesIn(own)).every((each) => each === TAKEN_NAME))
      await rm(own, { recursive: true, force: true });
  }
  return found;
}

async function movedIn(folder: string, own: string, taken: z.infer<typeof Taken>): Promise<TakenFile> {
  const fileName = basename(taken.from);
  const [source, path] = [join(folder, taken.from), join(own, fileName)];
  if (!(await exists(path))) await rename(source, path);
  const text = sidecarPath(source);
  if (taken.sidecar !== undefined && (await sidecarOf(source)) === taken.sidecar) {
    await rename(text, join(own, basename(text))).catch(ignoreAbsence);
  }
  const inFolder = dirname(taken.from);
  return { ...taken, path, fileName, folder: own, ...(inFolder !== '.' && { inFolder }) };
}

/** Moves a file's folder to its final place, with a text about the outcome. */
export async function endFile(
  folder: string,
  { folder: own }: Pick<TakenFile, 'folder'>,
  end: WatchedEnd,
  why: readonly string[],
): Promise<string> {
  await writeFileAtomically(join(own, 'why.txt'), `${why.join('\r\n')}\r\n`);
  await rm(join(own, TAKEN_NAME), { force: true });
  const to = await freeFolder(join(folder, `_${end}`), basename(own));
  // A rename may replace an empty folder.
  await rename(own, to);
  return to;
}

/** Returns a function that logs sentences for people, and keeps them until the disk accepts them. */
export function watchLog(folder: string): (when: string, sentence: string) => Promise<void> {
  let waiting = '';
  return async (when, sentence) => {
    waiting += `${when}  ${sentence.replaceAll(/[\r\n]+/g, ' ')}\r\n`;
    const writing = waiting;
    const isWritten = await appendFile(join(folder, LOG_NAME), writing).then(
      () => true,
      () => false,
    );
    if (isWritten) waiting = waiting.slice(writing.length);
  };
}

const stemOf = (name: string): string => basename(name, extname(name));
const sidecarPath = (path: string): string => join(dirname(path), `${stemOf(path)}${SIDECAR}`);

async function sidecarOf(path: string): Promise<string | undefined> {
  const text = sidecarPath(path);
  const state = await stat(text).catch(() => undefined);
  if (!state?.isFile() || state.size > MOST_SIDECAR_BYTES) return undefined;
  return await readFile(text, 'utf8');
}

/** Makes a new empty folder: `van`, or `van (2)` where that name is taken. */
async function freeFolder(parent: string, name: string): Promise<string> {
  await makeFolder(parent);
  for (let count = 1; ; count++) {
    const path = join(parent, count === 1 ? name : `${name} (${count})`);
    try {
      await mkdir(path);
      return path;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    }
  }
}

const exists = async (path: string): Promise<boolean> =>
  (await stat(path).catch(() => undefined)) !== undefined;

const namesIn = async (folder: string): Promise<string[]> => await readdir(folder).catch(() => []);

async function jsonAt(path: string): Promise<unknown> {
  return await readFile(path, 'utf8')
    .then(JSON.parse)
    .catch(() => undefined);
}

function ignoreAbsence(error: NodeJS.ErrnoException): void {
  if (error.code !== 'ENOENT') throw error;
}

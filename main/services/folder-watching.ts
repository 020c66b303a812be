/** The watched folder of a program with screens: switched on and off there, and on again when the program starts. */
import { readFile, rm } from 'node:fs/promises';
import { isAbsolute, join } from 'node:path';
import { z } from 'zod';
import type { ContractReply } from '../../core/contract/contract.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import type { ActParts } from './service-parts.ts';
import { type FileTaker, watchFolder } from './watch-folder.ts';

const Kept = z.strictObject({ folder: z.string() });
const MOST_SENTENCES = 20;

type WatchState = ContractReply<'watch:state'>;

export class FolderWatching {
  readonly #parts: ActParts;
  readonly #takers: readonly FileTaker[];
  /** Where it is kept what is watched; absent where nothing can be kept. */
  readonly #keptAt: string | undefined;
  #watch:
    | { readonly folder: string; readonly ending: AbortController; readonly ended: Promise<void> }
    | undefined;
  #sentences: readonly string[] = [];

  /** `seat`: of a shared archive, whose machines watch each its own folder. */
  constructor(parts: ActParts, takers: readonly FileTaker[], seat?: string) {
    this.#parts = parts;
    this.#takers = takers;
    const { folder, isReadOnly } = parts.archive;
    this.#keptAt =
      isAbsolute(folder) && !isReadOnly
        ? join(folder, seat === undefined ? 'watch.json' : `watch-${seat}.json`)
        : undefined;
  }

  get state(): WatchState {
    return { folder: this.#watch?.folder ?? null, sentences: [...this.#sentences] };
  }

  /** What was watched when the program ended is watched again. */
  async resume(): Promise<void> {
    if (this.#keptAt === undefined) return;
    const text = await readFile(this.#keptAt, 'utf8').catch(() => undefined);
    if (text === undefined) return;
    try {
      this.#begin(Kept.parse(JSON.parse(text)).folder);
    } catch {
      // No taker wants the file.
    }
  }

  /** Watches another folder, or none. */
  async set(folder: string | undefined): Promise<WatchState> {
    await this.close();
    if (folder !== undefined) this.#begin(folder);
    if (this.#keptAt !== undefined) {
      if (folder === undefined) await rm(this.#keptAt, { force: true });
      else await writeFileAtomically(this.#keptAt, JSON.stringify({ folder }));
    }
    return this.state;
  }

  #begin(folder: string): void {
    const ending = new AbortController();
    const tell = (sentence: string) => {
      this.#sentences = [sentence, ...this.#sentences].slice(0, MOST_SENTENCES);
    };
    const order = { folder, takers: this.#takers, tell };
    const tools = { signal: ending.signal, report: () => undefined };
    const ended = watchFolder(this.#parts, order, tools).then((watched) => {
      if (!watched.ok && !ending.signal.aborted) {
        tell(`The folder is not watched any more. ${watched.problem.message} ${watched.problem.remedy}`);
        if (this.#watch?.ending === ending) this.#watch = undefined;
      }
    });
    this.#watch = { folder, ending, ended };
  }

  async close(): Promise<void> {
    const watch = this.#watch;
    this.#watch = undefined;
    watch?.ending.abort();
    await watch?.ended;
  }
}

/**
 * A watched folder: each PDF that comes in goes to the first taker that wants it. One sentence in the log of the folder
 * says what came of it and where the file is now.
 */
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { type Problem, type Result, resultOk } from '../../core/measure/result.ts';
import { tryArchive } from '../archive/port.ts';
import { pastTime } from '../files/clock-text.ts';
import { fileProblem, tryFiles } from '../files/file-problem.ts';
import { lockedBy } from '../files/folder-lock.ts';
import { makeFolder } from '../files/make-folder.ts';
import { settledFiles } from '../files/settled-files.ts';
import {
  begunFiles,
  endFile,
  isIncoming,
  OUT_FOLDER,
  type TakenFile,
  takeFile,
  type WatchedEnd,
  watchLog,
} from '../files/watched-folder.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

export interface WatchOrder {
  readonly folder: string;
  /** Where outputs are written; absent: a folder in the watched one. */
  readonly to?: string | undefined;
  readonly takers: readonly FileTaker[];
  /** Called with each sentence, too. */
  readonly tell?: ((sentence: string) => void) | undefined;
  readonly everyMs?: number | undefined;
}

export interface WatchedOutcome {
  readonly end: WatchedEnd;
  /** What came of the file, without its name: `became job ACL-0500, …`. */
  readonly sentence: string;
  /** Further lines for the person who opens its folder. */
  readonly lines?: readonly string[];
}

/** Undefined where the file is for another taker. A problem of disk or archive is tried again, any other refuses the file. */
export type FileTaker = (
  file: TakenFile,
  parts: ActParts,
  order: { readonly to: string },
  tools: TaskTools,
) => Promise<Result<WatchedOutcome> | undefined>;

/** Between two tries where disk or archive refused. */
const AGAIN_MS = 60_000;

/** Problems that the file has no part in. */
const isForLater = ({ code }: Problem): boolean =>
  /^(archive-|disk-full|folder-|file-not-readable)/.test(code);

/** Watches until it is canceled. Waits where another program watches the folder already. Keeps WF1. */
export async function watchFolder(
  parts: ActParts,
  order: WatchOrder,
  tools: TaskTools,
): Promise<Result<void>> {
  const { folder } = order;
  return await tryFiles(folder, async () => {
    await makeFolder(folder);
    await lockedBy(join(folder, '.watching'), tools.signal, async () => await watch(parts, order, tools));
    return resultOk(undefined);
  });
}

async function watch(parts: ActParts, order: WatchOrder, tools: TaskTools): Promise<void> {
  const { folder, everyMs } = order;
  const log = watchLog(folder);
  const said = new Map<string, string>();
  const say: Say = async (name, sentence, which) => {
    // A disk that stays full is worth one line.
    if (which !== 'last' && said.get(name) === sentence) return;
    if (which === 'last') said.delete(name);
    else said.set(name, sentence);
    const line = `${name}: ${sentence}`;
    order.tell?.(line);
    await log(pastTime(parts.now()), line);
  };
  for (const file of await begunFiles(folder)) await finish(file, parts, order, say, tools);
  for await (const { name } of settledFiles({
    folder,
    isWanted: isIncoming,
    signal: tools.signal,
    ...(everyMs !== undefined && { everyMs }),
  })) {
    const file = await takenUnlessRefused(folder, name, say, tools.signal);
    if (file) await finish(file, parts, order, say, tools);
    if (tools.signal.aborted) return;
  }
}

type Say = (name: string, sentence: string, which?: 'last') => Promise<void>;

async function takenUnlessRefused(
  folder: string,
  name: string,
  say: Say,
  signal: AbortSignal,
): Promise<TakenFile | undefined> {
  for (;;) {
    try {
      return await takeFile(folder, name);
    } catch (error) {
      const problem = fileProblem(error, join(folder, name));
      // It was taken away again.
      if (problem?.code === 'file-missing' || signal.aborted) return undefined;
      if (!problem) throw error;
      await say(name, `waits where it is. ${problem.message} ${problem.remedy}`);
      await pause(signal);
    }
  }
}

async function finish(
  file: TakenFile,
  parts: ActParts,
  order: WatchOrder,
  say: Say,
  tools: TaskTools,
): Promise<void> {
  const { folder } = order;
  for (;;) {
    const outcome = await outcomeOf(file, parts, order, tools);
    if (tools.signal.aborted) return;
    const isLater = !outcome.ok && isForLater(outcome.problem);
    if (!isLater) {
      const { end, sentence, lines = [] } = outcome.ok ? outcome.value : refusal(outcome.problem);
      const ended = await tryFiles(folder, async () =>
        resultOk(await endFile(folder, file, end, [`${file.from}: ${sentence}`, ...lines])),
      );
      if (ended.ok) return await say(file.from, sentence, 'last');
      await say(file.from, `waits under way. ${ended.problem.message} ${ended.problem.remedy}`);
    } else {
      const { message, remedy } = outcome.problem;
      await say(file.from, `waits under way, and is tried again each minute. ${message} ${remedy}`);
    }
    await pause(tools.signal);
    if (tools.signal.aborted) return;
  }
}

const refusal = ({ message, remedy }: Problem): WatchedOutcome => ({
  end: 'refused',
  sentence: `was refused and lies in _refused. ${message} ${remedy}`,
});

const nobodys: Problem = {
  code: 'watched-unknown',
  message: 'No job can be made of this kind of file.',
  remedy: 'Enter it by hand.',
};

async function outcomeOf(
  file: TakenFile,
  parts: ActParts,
  { folder, to = join(folder, OUT_FOLDER), takers }: WatchOrder,
  tools: TaskTools,
): Promise<Result<WatchedOutcome>> {
  return await tryArchive(async () =>
    tryFiles(file.path, async () => {
      for (const taker of takers) {
        const outcome = await taker(file, parts, { to }, tools);
        if (outcome) return outcome;
      }
      return { ok: false, problem: nobodys };
    }),
  );
}

async function pause(signal: AbortSignal): Promise<void> {
  await setTimeout(AGAIN_MS, undefined, { signal }).catch(() => undefined);
}

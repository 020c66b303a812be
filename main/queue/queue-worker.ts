/** A worker takes tasks from the queue one after the other, and returns those that it cannot do. */
import { setTimeout as pause } from 'node:timers/promises';
import type { Progress } from '../../core/contract/parts.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { errorSentence } from '../files/standard-streams.ts';
import type { TaskRunner } from '../tasks/task-runner.ts';
import type { TaskName, TaskRequest } from '../tasks/tasks.ts';
import { type Cargo, packCargo, sweepCargo, unpackCargo } from './cargo.ts';
import { BEAT_MS, type TakenTask, type TaskQueue } from './task-queue.ts';
import { clearScratch, type PackedRequest, packedResult, unpackedRequest } from './travel.ts';

interface WorkerParts {
  readonly queue: TaskQueue;
  readonly tasks: TaskRunner;
  /** Called with sentences about what the worker does. */
  readonly tell: (sentence: string) => void;
  readonly report: (progress: Progress) => void;
  /** How long a task may still run once the worker is asked to end. */
  readonly graceMs?: number;
}

const IDLE_MS = 2000;
const GRACE_MS = 60_000;
const PROGRESS_MS = 250;

/** Why a task was stopped from outside. */
type Stop = 'canceled' | 'lost' | 'ending';

/** Runs until it is canceled; it finishes or returns the tasks that it has begun. */
export async function runWorker(parts: WorkerParts, signal: AbortSignal): Promise<void> {
  const { queue, tell } = parts;
  let wake = new AbortController();
  const unhear = queue.hear((news) => {
    if (!news || news.is === 'new') wake.abort();
  });
  let orphans: ReadonlySet<string> = new Set();
  const watching = setInterval(async () => {
    const found = await queue.orphans().catch(() => []);
    // A seat with a lost connection reconnects within a second.
    for (const id of found.filter((each) => orphans.has(each))) await queue.cancel(id).catch(() => false);
    orphans = new Set(found);
  }, BEAT_MS);
  let trouble = '';
  try {
    await sweepCargo(queue);
    while (!signal.aborted) {
      wake = new AbortController();
      try {
        const task = await queue.take();
        trouble = '';
        if (task) await workOn(task, parts, signal);
        else await idle(AbortSignal.any([signal, wake.signal]));
      } catch (error) {
        const sentence = `The queue cannot be reached: ${errorSentence(error)}`;
        if (sentence !== trouble) tell(sentence);
        trouble = sentence;
        await idle(signal);
      }
    }
  } finally {
    clearInterval(watching);
    unhear();
  }
}

const idle = async (signal: AbortSignal): Promise<void> =>
  await pause(IDLE_MS, undefined, { signal }).catch(() => undefined);

async function workOn(task: TakenTask, parts: WorkerParts, ending: AbortSignal): Promise<void> {
  const { queue, tell, graceMs = GRACE_MS } = parts;
  const { id, title, askedBy } = task;
  const stopping = new AbortController();
  const stop = (why: Stop) => stopping.abort(why);
  const unhear = queue.hear((news) => {
    if (news?.is === 'canceled' && news.id === id) stop('canceled');
  });
  const beating = setInterval(async () => {
    // An unreachable server does not mean that the task is lost.
    if (!(await queue.beat(task).catch(() => true))) stop('lost');
  }, BEAT_MS);
  let patience: NodeJS.Timeout | undefined;
  const end = () => {
    patience = setTimeout(() => stop('ending'), graceMs);
  };
  ending.addEventListener('abort', end, { once: true });
  const begunMs = Date.now();
  tell(`${title}, asked by ${askedBy}: begun.`);
  try {
    const how = await tryTask(task, parts, stopping.signal);
    tell(`${title}: ${how} (${((Date.now() - begunMs) / 1000).toFixed(1)} s).`);
  } finally {
    clearInterval(beating);
    clearTimeout(patience);
    ending.removeEventListener('abort', end);
    unhear();
  }
}

/** Returns in a few words how it ended. */
async function tryTask(
  task: TakenTask,
  { queue, tasks, report }: WorkerParts,
  signal: AbortSignal,
): Promise<string> {
  const scratch = makeScratchFolder('task');
  const stopped = async (): Promise<string> => {
    if (signal.reason === 'canceled') return 'canceled';
    if (signal.reason === 'lost') return 'given up, because another worker has it or it was canceled';
    await queue.giveBack(task, 'the worker was ended');
    return 'given back, because this worker ends';
  };
  const givenBack = async (reason: string): Promise<string> => {
    await queue.giveBack(task, reason);
    return `given back: ${reason}`;
  };
  try {
    const packed = (await unpackCargo(task.request as Cargo, queue)) as PackedRequest;
    const request = await unpackedRequest(packed, queue, scratch, signal);
    if (!request.ok) return await givenBack(request.problem.message);
    const result = (await tasks.run(task.task, request.value as TaskRequest<TaskName>, {
      signal,
      report: progressTold(task, queue, report),
    })) as Result<unknown>;
    if (signal.aborted) return await stopped();
    if (!result.ok && isForAnother(result.problem)) return await givenBack(result.problem.message);
    const cargo = await packCargo(await packedResult(packed, result, queue.vault, scratch, signal), queue);
    const isOurs = await queue.finish(task, cargo);
    if (!isOurs) return 'done, but another worker had it already or it was canceled';
    return result.ok ? 'done' : `ended: ${result.problem.message}`;
  } catch (error) {
    return signal.aborted ? await stopped() : await givenBack(errorSentence(error));
  } finally {
    await clearScratch(scratch);
  }
}

/** Problems of this machine, not of the task. */
const isForAnother = ({ code }: Problem): boolean =>
  /^(work-process-ended|disk-full|folder-|file-not-readable|archive-|vault-)/.test(code);

/** Sends progress to the asking seat, but not more often than a person can read. */
function progressTold(
  { id }: TakenTask,
  queue: TaskQueue,
  report: (progress: Progress) => void,
): (progress: Progress) => void {
  let lastMs = 0;
  let last = '';
  return (progress) => {
    report(progress);
    const now = Date.now();
    if (progress.what === last && now - lastMs < PROGRESS_MS) return;
    [lastMs, last] = [now, progress.what];
    const told = { ...progress, what: `${progress.what} (${queue.name})` };
    void queue.tell({ is: 'progress', id, progress: told }).catch(() => undefined);
  };
}

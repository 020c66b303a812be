/** Runs heavy tasks through the queue of a shared archive if a worker is there to take them; all others run here. */
import { type Problem, type Result, resultProblem } from '../../core/measure/result.ts';
import type { Log } from '../files/day-log.ts';
import { cancelledProblem, fileProblem } from '../files/file-problem.ts';
import { subjectOf } from '../tasks/logged-tasks.ts';
import type { TaskRunner } from '../tasks/task-runner.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { TaskName, TaskRequest, TaskResult } from '../tasks/tasks.ts';
import type { Cargo } from './cargo.ts';
import type { SeatQueue } from './seat-queue.ts';
import type { PackedResult, Travelling } from './travel.ts';

/**
 * The long tasks, by what waits for them. Others run at every keystroke, and are done here, from artwork that is
 * already open, before they could be sent anywhere.
 */
const TRAVEL: ReadonlyMap<TaskName, 'screen' | 'output'> = new Map([
  ['output', 'output'],
  ['reprint', 'output'],
  ['patch', 'output'],
  ['verification', 'output'],
  ['coverage', 'screen'],
  ['comparison', 'screen'],
  ['report', 'screen'],
  ['designerReport', 'screen'],
  ['sheets', 'screen'],
]);

/** A screen waits at most this long for a worker to start; then the work is done here. */
const SCREEN_PATIENCE_MS = 1000;

interface QueueTasksParts {
  readonly queue: SeatQueue;
  /** Runs tasks that do not travel, and all tasks if there is no worker. */
  readonly local: TaskRunner;
  /** Whether no caller is waiting for the result. */
  readonly isBackground?: boolean;
  readonly log?: Log | undefined;
}

export class QueueTasks implements TaskRunner {
  readonly #parts: QueueTasksParts;
  readonly #closing = new AbortController();
  readonly #running = new Set<Promise<unknown>>();

  constructor(parts: QueueTasksParts) {
    this.#parts = parts;
  }

  async run<N extends TaskName>(name: N, request: TaskRequest<N>, tools: TaskTools): Promise<TaskResult<N>> {
    const { local } = this.#parts;
    const kind = TRAVEL.get(name);
    if (!kind) return await local.run(name, request, tools);
    const signal = AbortSignal.any([tools.signal, this.#closing.signal]);
    const running = this.#runInQueue(name, request as Travelling, kind, { ...tools, signal });
    this.#running.add(running);
    try {
      const result = await running;
      return result ? (result as TaskResult<N>) : await local.run(name, request, tools);
    } finally {
      this.#running.delete(running);
    }
  }

  warm(): void {
    this.#parts.local.warm();
  }

  async close(): Promise<void> {
    this.#closing.abort();
    await Promise.all([
      this.#parts.local.close(),
      ...[...this.#running].map((running) => running.catch(() => undefined)),
    ]);
  }

  /** Undefined where the work must be done here. */
  async #runInQueue(
    name: TaskName,
    request: Travelling,
    kind: 'screen' | 'output',
    tools: TaskTools,
  ): Promise<Result<unknown> | undefined> {
    const { queue: seat, isBackground = false, log } = this.#parts;
    const { mayTravel, packedRequest, unpackedResult } = await import('./travel.ts');
    if (tools.signal.aborted || !mayTravel(request)) return undefined;
    const title = titleOf(name, request);
    const here = (why: string): undefined => void log?.(`${title}: done here, because ${why}`);
    const open = await seat.open();
    if (!open) return here('the queue cannot be reached');
    const { queue, awaited } = open;
    if (!(await hasWorkers(queue))) return here('no worker runs');
    const { packCargo, unpackCargo, dropCargo } = await import('./cargo.ts');
    const { PRIORITY } = await import('./task-queue.ts');
    try {
      const cargo = await packCargo(await packedRequest(request, queue.vault, tools), queue);
      const priority = PRIORITY[isBackground ? 'background' : kind];
      const id = await queue.send({ task: name, title, priority, request: cargo }).catch(() => undefined);
      if (id === undefined) return here('the queue cannot be reached');
      const patienceMs = kind === 'screen' && !isBackground ? SCREEN_PATIENCE_MS : Number.POSITIVE_INFINITY;
      const end = await awaited.end(id, tools, patienceMs);
      await dropCargo(cargo, queue);
      if (end.is === 'done') {
        const output = end.output as Cargo;
        const packed = (await unpackCargo(output, queue)) as PackedResult;
        const result = await unpackedResult(packed, request, queue.vault, tools);
        await dropCargo(output, queue);
        return result;
      }
      if (end.is === 'untaken') return here('no worker took it');
      if (tools.signal.aborted) return resultProblem(cancelledProblem);
      return resultProblem(endedElsewhere(title, end.is, await queue.notes(id)));
    } catch (error) {
      const problem = fileProblem(error, queue.folder);
      if (problem) return resultProblem(problem);
      throw error;
    }
  }
}

/** For people: `Cut: Output 3 of job ACL-0417`. */
function titleOf(name: TaskName, request: Travelling): string {
  const subject = subjectOf(request);
  const what = TITLES.get(name) ?? name;
  return subject === '' ? what : `${what}: ${subject}`;
}

const TITLES: ReadonlyMap<TaskName, string> = new Map([
  ['output', 'Cut'],
  ['reprint', 'Reprint'],
  ['patch', 'Patch'],
  ['verification', 'Verify'],
  ['coverage', 'Measure ink'],
  ['comparison', 'Compare artworks'],
  ['report', 'Draw the report'],
  ['designerReport', 'Draw the findings'],
  ['sheets', 'Draw sheets'],
]);

const hasWorkers = async (queue: { workers(): Promise<readonly unknown[]> }): Promise<boolean> =>
  await queue.workers().then(
    (workers) => workers.length > 0,
    () => false,
  );

function endedElsewhere(
  title: string,
  how: 'canceled' | 'failed',
  notes: readonly { readonly kind: string; readonly text: string }[],
): Problem {
  const reasons = notes.filter(({ kind }) => kind !== 'begun' && kind !== 'done').map(({ text }) => text);
  return how === 'canceled'
    ? {
        code: 'task-canceled-elsewhere',
        message: `${title} was ${reasons.at(-1) ?? 'canceled at another seat'}.`,
        remedy: 'Start it again where that was not meant.',
      }
    : {
        code: 'task-failed',
        message: `${title} was tried ${reasons.length === 1 ? 'once' : `${reasons.length} times`} by workers, and none could do it: ${reasons.join('; ')}.`,
        remedy:
          'Mend what the last of these says, or end the workers and start it again, so that it is done here.',
      };
}

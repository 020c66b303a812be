/** Runs tasks in a separate process, which starts when first needed. */
import { type Problem, resultProblem } from '../../core/measure/result.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import { THREAD_END } from '../files/thread-end.ts';
import type { TaskProcess, TaskProcessStart } from './task-process.ts';
import type { TaskTools } from './task-tools.ts';
import type { TaskName, TaskRequest, TaskResult } from './tasks.ts';

export interface TaskRunner {
  run<N extends TaskName>(name: N, request: TaskRequest<N>, tools: TaskTools): Promise<TaskResult<N>>;
  /** Makes ready what the first task will need. */
  warm(): void;
  /** Cancels running tasks. */
  close(): Promise<void>;
}

interface Waiting {
  readonly tools: TaskTools;
  readonly resolve: (result: unknown) => void;
  readonly reject: (error: unknown) => void;
}

interface Running {
  readonly port: TaskProcess;
  readonly waiting: Map<number, Waiting>;
  readonly gone: Promise<void>;
}

const PATIENCE_MS = 5000;

/**
 * These tasks leave files in the folder of a job, so their reply waits until those are removed. Other tasks leave
 * nothing: a cancel is answered at once, and they end in the background.
 */
const STAGING: ReadonlySet<TaskName> = new Set(['output', 'reprint', 'patch']);

/** What a process is for. */
type ProcessOf = 'all' | 'verification';

/**
 * A page can crash the process that draws it. Outside Electron a verification draws in a process of its own
 * (main/verify/draw-port.ts); in Electron the whole task process may end, so no other task may share it.
 */
const processOf = (name: TaskName): ProcessOf =>
  name === 'verification' && 'electron' in process.versions ? 'verification' : 'all';

export class ProcessTasks implements TaskRunner {
  readonly #start: TaskProcessStart;
  readonly #patienceMs: number;
  readonly #running = new Map<ProcessOf, Running>();
  #lastId = 0;

  /** `patienceMs`: how long a canceled task may take to stop by itself. */
  constructor(start: TaskProcessStart, patienceMs = PATIENCE_MS) {
    this.#start = start;
    this.#patienceMs = patienceMs;
  }

  async run<N extends TaskName>(name: N, request: TaskRequest<N>, tools: TaskTools): Promise<TaskResult<N>> {
    const { signal } = tools;
    if (signal.aborted) return resultProblem(cancelledProblem) as TaskResult<N>;
    const { port, waiting } = this.#started(processOf(name));
    const id = ++this.#lastId;
    const answer = Promise.withResolvers<TaskResult<N>>();
    let timer: NodeJS.Timeout | undefined;
    const stop = () => {
      port.post({ id });
      // A task that does not react is ended with its process, unless other tasks run there.
      timer = setInterval(() => {
        if (waiting.size === 1) port.kill();
      }, this.#patienceMs).unref();
      if (!STAGING.has(name)) answer.resolve(resultProblem(cancelledProblem) as TaskResult<N>);
    };
    signal.addEventListener('abort', stop, { once: true });
    const ended = new Promise<TaskResult<N>>((resolve, reject) => {
      waiting.set(id, { tools, resolve: resolve as (result: unknown) => void, reject });
      port.post({ id, task: { name, request } });
    }).finally(() => {
      clearInterval(timer);
      signal.removeEventListener('abort', stop);
      waiting.delete(id);
    });
    ended.then(answer.resolve, answer.reject);
    return await answer.promise;
  }

  warm(): void {
    this.#started('all');
  }

  async close(): Promise<void> {
    const running = [...this.#running.values()];
    this.#running.clear();
    await Promise.all(running.map((each) => this.#closeProcess(each)));
  }

  async #closeProcess({ port, gone }: Running): Promise<void> {
    port.post(THREAD_END);
    const timer = setTimeout(() => port.kill(), this.#patienceMs);
    await gone;
    clearTimeout(timer);
  }

  #started(of: ProcessOf): Running {
    const known = this.#running.get(of);
    if (known) return known;
    const port = this.#start();
    const waiting: Running['waiting'] = new Map();
    const { promise: gone, resolve } = Promise.withResolvers<void>();
    const running = { port, waiting, gone };
    port.onMessage((reply) => {
      const asked = waiting.get(reply.id);
      if (!asked) return;
      if ('progress' in reply) {
        if (!asked.tools.signal.aborted) asked.tools.report(reply.progress);
      } else if ('result' in reply) asked.resolve(reply.result);
      else asked.reject(reply.error);
    });
    port.onExit((how) => {
      const isClosed = this.#running.get(of) !== running;
      if (!isClosed) this.#running.delete(of);
      for (const { tools, resolve } of waiting.values()) {
        resolve(resultProblem(isClosed || tools.signal.aborted ? cancelledProblem : processEnded(how)));
      }
      resolve();
    });
    this.#running.set(of, running);
    return running;
  }
}

const processEnded = (how: string): Problem => ({
  code: 'work-process-ended',
  message: `The process that did the work ended before it was done (${how}).`,
  remedy:
    'Try again. A very large artwork can need more memory than is free: close other programs first. If it ends again, report it with the steps that led here.',
});

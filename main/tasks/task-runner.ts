/** Runs tasks in a process of its own, which starts when first needed. */
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
  /** Calls off what runs. */
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

export class ProcessTasks implements TaskRunner {
  readonly #start: TaskProcessStart;
  readonly #patienceMs: number;
  #running: Running | undefined;
  #lastId = 0;

  /** `patienceMs`: for work that was called off to stop by itself. */
  constructor(start: TaskProcessStart, patienceMs = PATIENCE_MS) {
    this.#start = start;
    this.#patienceMs = patienceMs;
  }

  async run<N extends TaskName>(name: N, request: TaskRequest<N>, tools: TaskTools): Promise<TaskResult<N>> {
    const { signal } = tools;
    if (signal.aborted) return resultProblem(cancelledProblem) as TaskResult<N>;
    const { port, waiting } = this.#started();
    const id = ++this.#lastId;
    let timer: NodeJS.Timeout | undefined;
    const stop = () => {
      port.post({ id });
      // A task that does not hear is ended with its process, unless others work there.
      timer = setInterval(() => {
        if (waiting.size === 1) port.kill();
      }, this.#patienceMs).unref();
    };
    signal.addEventListener('abort', stop, { once: true });
    try {
      return await new Promise<TaskResult<N>>((resolve, reject) => {
        waiting.set(id, { tools, resolve: resolve as (result: unknown) => void, reject });
        port.post({ id, task: { name, request } });
      });
    } finally {
      clearInterval(timer);
      signal.removeEventListener('abort', stop);
      waiting.delete(id);
    }
  }

  warm(): void {
    this.#started();
  }

  async close(): Promise<void> {
    const running = this.#running;
    this.#running = undefined;
    if (!running) return;
    running.port.post(THREAD_END);
    const timer = setTimeout(() => running.port.kill(), this.#patienceMs);
    await running.gone;
    clearTimeout(timer);
  }

  #started(): Running {
    if (this.#running) return this.#running;
    const port = this.#start();
    const waiting: Running['waiting'] = new Map();
    const { promise: gone, resolve } = Promise.withResolvers<void>();
    const running = { port, waiting, gone };
    port.onMessage((reply) => {
      const asked = waiting.get(reply.id);
      if (!asked) return;
      if ('progress' in reply) asked.tools.report(reply.progress);
      else if ('result' in reply) asked.resolve(reply.result);
      else asked.reject(reply.error);
    });
    port.onExit((how) => {
      const isClosed = this.#running !== running;
      if (!isClosed) this.#running = undefined;
      for (const { tools, resolve } of waiting.values()) {
        resolve(resultProblem(isClosed || tools.signal.aborted ? cancelledProblem : processEnded(how)));
      }
      resolve();
    });
    this.#running = running;
    return running;
  }
}

const processEnded = (how: string): Problem => ({
  code: 'work-process-ended',
  message: `The process that did the work ended before it was done (${how}).`,
  remedy:
    'Try again. A very large artwork can need more memory than is free: close other programs first. If it ends again, report it with the steps that led here.',
});

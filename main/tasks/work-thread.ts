/** A thread that runs the tasks, one question after another; it starts when first needed. */
import { Worker } from 'node:worker_threads';
import type { Progress } from '../../core/contract/contract.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import { moduleBeside } from '../files/module-beside.ts';
import { type THREAD_END, threadEnded } from '../files/thread-end.ts';
import type { TaskTools } from './task-tools.ts';
import type { TaskName, TaskRequest, TaskResult } from './tasks.ts';

/** Without a task: stop the work of that id. */
export type WorkMessage =
  | { readonly id: number; readonly task?: { readonly name: TaskName; readonly request: unknown } }
  | typeof THREAD_END;

export type WorkReply =
  | { readonly id: number; readonly progress: Progress }
  | { readonly id: number; readonly result: unknown }
  | { readonly id: number; readonly error: unknown };

interface Waiting {
  readonly report: (progress: Progress) => void;
  readonly resolve: (result: unknown) => void;
  readonly reject: (error: unknown) => void;
}

export class WorkThread {
  readonly #waiting = new Map<number, Waiting>();
  #worker: Worker | undefined;
  #lastId = 0;

  async run<N extends TaskName>(name: N, request: TaskRequest<N>, tools: TaskTools): Promise<TaskResult<N>> {
    if (tools.signal.aborted) return { ok: false, problem: cancelledProblem } as TaskResult<N>;
    const id = ++this.#lastId;
    const worker = this.#started();
    const stop = () => worker.postMessage({ id } satisfies WorkMessage);
    tools.signal.addEventListener('abort', stop, { once: true });
    try {
      return await new Promise<TaskResult<N>>((resolve, reject) => {
        this.#waiting.set(id, {
          report: tools.report,
          resolve: resolve as (result: unknown) => void,
          reject,
        });
        worker.postMessage({ id, task: { name, request } } satisfies WorkMessage);
      });
    } finally {
      tools.signal.removeEventListener('abort', stop);
      this.#waiting.delete(id);
    }
  }

  /** Starts the thread before there is work for it. */
  warm(): void {
    this.#started();
  }

  /** Calls off what runs. */
  async close(): Promise<void> {
    const worker = this.#worker;
    this.#worker = undefined;
    if (worker) await threadEnded(worker);
  }

  #started(): Worker {
    if (this.#worker) return this.#worker;
    const worker = new Worker(moduleBeside(import.meta.url, './worker'));
    worker.on('message', (reply: WorkReply) => {
      const waiting = this.#waiting.get(reply.id);
      if (!waiting) return;
      if ('progress' in reply) waiting.report(reply.progress);
      else if ('result' in reply) waiting.resolve(reply.result);
      else waiting.reject(reply.error);
    });
    worker.on('error', (error) => this.#failAll(worker, error));
    worker.on('exit', () => this.#failAll(worker, new Error('the work thread ended')));
    worker.unref();
    this.#worker = worker;
    return worker;
  }

  #failAll(worker: Worker, error: unknown): void {
    if (this.#worker !== worker) return;
    this.#worker = undefined;
    for (const waiting of this.#waiting.values()) waiting.reject(error);
  }
}

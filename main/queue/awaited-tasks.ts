/** Waits for this seat's tasks at workers: through notifications, and by a check each second in case one was missed. */
import type { TaskTools } from '../tasks/task-tools.ts';
import type { TaskNews, TaskQueue, TaskState } from './task-queue.ts';

const LOOK_MS = 1000;

export type TaskEnd =
  | { readonly is: 'done'; readonly output: unknown }
  | { readonly is: 'canceled' }
  | { readonly is: 'failed' }
  /** No worker took it in time; it is no longer in the queue. */
  | { readonly is: 'untaken' };

interface Awaited extends TaskTools {
  /** After this time it is withdrawn if no worker has taken it. */
  readonly untilMs: number;
  readonly end: (end: TaskEnd) => void;
}

export class AwaitedTasks {
  readonly #queue: TaskQueue;
  readonly #awaited = new Map<string, Awaited>();
  #timer: NodeJS.Timeout | undefined;
  #looking: Promise<void> | undefined;
  readonly #unhear: () => void;

  constructor(queue: TaskQueue) {
    this.#queue = queue;
    this.#unhear = queue.hear((news) => this.#hear(news));
  }

  /** Waits until a task ends. `patienceMs`: how long it may wait for a worker to start. */
  async end(id: string, tools: TaskTools, patienceMs: number): Promise<TaskEnd> {
    const { promise, resolve } = Promise.withResolvers<TaskEnd>();
    const cancel = () => {
      resolve({ is: 'canceled' });
      void this.#queue.cancel(id).catch(() => undefined);
    };
    this.#awaited.set(id, { ...tools, untilMs: Date.now() + patienceMs, end: resolve });
    this.#timer ??= setInterval(() => void this.#look(), LOOK_MS);
    tools.signal.addEventListener('abort', cancel, { once: true });
    if (tools.signal.aborted) cancel();
    // The task may have ended before this listener was added.
    void this.#look();
    try {
      return await promise;
    } finally {
      tools.signal.removeEventListener('abort', cancel);
      this.#awaited.delete(id);
      if (this.#awaited.size === 0) {
        clearInterval(this.#timer);
        this.#timer = undefined;
      }
    }
  }

  async close(): Promise<void> {
    this.#unhear();
    clearInterval(this.#timer);
    await this.#looking;
  }

  #hear(news: TaskNews | undefined): void {
    if (this.#awaited.size === 0) return;
    if (!news) void this.#look();
    else if (news.is === 'progress') this.#awaited.get(news.id)?.report(news.progress);
    else if (news.is === 'ended' && this.#awaited.has(news.id)) void this.#look();
  }

  /** One check at a time; a notification during it starts another. */
  async #look(): Promise<void> {
    const before = this.#looking;
    const looking = (async () => {
      await before;
      // If the server is away, a check after its return finds what happened.
      await this.#lookAtAll().catch(() => undefined);
    })();
    this.#looking = looking;
    await looking;
    if (this.#looking === looking) this.#looking = undefined;
  }

  async #lookAtAll(): Promise<void> {
    const ids = [...this.#awaited.keys()];
    if (ids.length === 0) return;
    const states = new Map((await this.#queue.states(ids)).map((state) => [state.id, state]));
    const isOpen = ids.some((id) => states.get(id)?.output === undefined);
    const hasWorkers = !isOpen || (await this.#queue.workers()).length > 0;
    for (const id of ids) await this.#lookAt(id, states.get(id), hasWorkers);
  }

  async #lookAt(id: string, found: TaskState | undefined, hasWorkers: boolean): Promise<void> {
    const awaited = this.#awaited.get(id);
    if (!awaited) return;
    switch (found?.state) {
      case 'done':
        awaited.end({ is: 'done', output: found.output });
        return;
      case 'canceled':
      case 'failed':
        awaited.end({ is: found.state });
        return;
      case 'waiting':
        awaited.report({ what: waitingText(found.before), done: 0, total: 1 });
        if (hasWorkers && Date.now() < awaited.untilMs) return;
        break;
      case 'running':
        if (hasWorkers) return;
        break;
      case undefined:
        awaited.end({ is: 'untaken' });
        return;
    }
    if (await this.#queue.withdraw(id)) awaited.end({ is: 'untaken' });
  }
}

const waitingText = (before: number): string =>
  before === 0
    ? 'Waiting for a worker'
    : `Waiting for a worker: ${before} ${before === 1 ? 'task comes' : 'tasks come'} first`;

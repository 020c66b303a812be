/** The queue for one seat: opened on the first heavy task, once for all callers. */
import { postgresPlace } from '../archive/postgres-place.ts';
import type { Log } from '../files/day-log.ts';
import type { AwaitedTasks } from './awaited-tasks.ts';
import type { TaskQueue } from './task-queue.ts';

interface OpenQueue {
  readonly queue: TaskQueue;
  readonly awaited: AwaitedTasks;
}

/** Time between two tries to reach it. */
const AGAIN_MS = 10_000;

export class SeatQueue {
  readonly #place: string;
  readonly #log: Log | undefined;
  #opening: Promise<OpenQueue | undefined> | undefined;

  constructor(place: string, log?: Log) {
    this.#place = place;
    this.#log = log;
  }

  /** Undefined where it cannot be reached. */
  async open(): Promise<OpenQueue | undefined> {
    this.#opening ??= this.#open();
    return await this.#opening;
  }

  async close(): Promise<void> {
    const open = await this.#opening;
    await open?.awaited.close();
    await open?.queue.close();
  }

  async #open(): Promise<OpenQueue | undefined> {
    const place = postgresPlace(this.#place);
    if (!place.ok) return undefined;
    const onError = (error: unknown) => this.#log?.('The queue', error);
    try {
      const { TaskQueue } = await import('./task-queue.ts');
      const { AwaitedTasks } = await import('./awaited-tasks.ts');
      const queue = await TaskQueue.open(place.value, { onError });
      return { queue, awaited: new AwaitedTasks(queue) };
    } catch (error) {
      onError(error);
      setTimeout(() => {
        this.#opening = undefined;
      }, AGAIN_MS).unref();
      return undefined;
    }
  }
}

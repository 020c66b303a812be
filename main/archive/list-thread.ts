/**
 * Reads the list of jobs on a separate thread, so that a search through a hundred thousand jobs does not delay other
 * requests. The first request starts the thread.
 */
import { Worker } from 'node:worker_threads';
import Database from 'better-sqlite3';
import { moduleBeside } from '../files/module-beside.ts';
import { endThread } from '../files/thread-end.ts';
import type { JobFilter, JobPage } from './port.ts';

export interface ListQuestion {
  readonly id: number;
  readonly filter: JobFilter;
}

export type ListReply =
  | { readonly id: number; readonly page: JobPage }
  /** `code` is SQLite's; absent: a bug. */
  | { readonly id: number; readonly error: { readonly message: string; readonly code?: string } };

interface Waiting {
  readonly resolve: (page: JobPage) => void;
  readonly reject: (error: Error) => void;
}

export class ListThread {
  readonly #path: string;
  readonly #waiting = new Map<number, Waiting>();
  #worker: Worker | undefined;
  #lastId = 0;

  constructor(path: string) {
    this.#path = path;
  }

  /** Rejects with SQLite's error. */
  async page(filter: JobFilter): Promise<JobPage> {
    const id = ++this.#lastId;
    const { promise, resolve, reject } = Promise.withResolvers<JobPage>();
    this.#waiting.set(id, { resolve, reject });
    const worker = this.#started();
    // A pending query keeps the program alive; an idle thread does not.
    worker.ref();
    worker.postMessage({ id, filter } satisfies ListQuestion);
    return await promise;
  }

  async close(): Promise<void> {
    const worker = this.#worker;
    this.#worker = undefined;
    if (worker) await endThread(worker);
  }

  #started(): Worker {
    if (this.#worker) return this.#worker;
    const worker = new Worker(moduleBeside(import.meta.url, './list-worker'), { workerData: this.#path });
    worker.on('message', (reply: ListReply) => {
      const asked = this.#waiting.get(reply.id);
      this.#waiting.delete(reply.id);
      if ('page' in reply) asked?.resolve(reply.page);
      else asked?.reject(sqliteError(reply.error));
      if (this.#waiting.size === 0) worker.unref();
    });
    worker.on('error', (error) =>
      this.#gone(worker, error instanceof Error ? error : new Error(String(error))),
    );
    worker.on('exit', () => this.#gone(worker, new Error('The thread of the list of jobs has ended.')));
    this.#worker = worker;
    return worker;
  }

  /** The next query starts another thread. */
  #gone(worker: Worker, error: Error): void {
    if (this.#worker === worker) this.#worker = undefined;
    for (const { reject } of this.#waiting.values()) reject(error);
    this.#waiting.clear();
  }
}

const sqliteError = ({ message, code }: { readonly message: string; readonly code?: string }): Error =>
  code === undefined ? new Error(message) : new Database.SqliteError(message, code);

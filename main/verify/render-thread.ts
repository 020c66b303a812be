/**
 * A thread that draws pages for the verification, one after the other. A page that takes too long or runs out of memory
 * costs the thread, not the program; the next page gets a new one.
 */
import { Worker } from 'node:worker_threads';
import { moduleBeside } from '../files/module-beside.ts';
import { endThread } from '../files/thread-end.ts';
import type { RenderReply, RenderRequest } from './render-worker.ts';

export type RenderOutcome =
  | { readonly ok: true; readonly rgba: Uint8Array }
  | { readonly ok: false; readonly trouble: string };

const TIME_LIMIT_MS = 120_000;
const MEMORY_LIMIT_MB = 2048;

export class RenderThread {
  readonly #timeLimitMs: number;
  #worker: Worker | undefined;
  #lastId = 0;

  constructor(timeLimitMs = TIME_LIMIT_MS) {
    this.#timeLimitMs = timeLimitMs;
  }

  /** Callers wait for one picture before they ask for the next. */
  async picture(request: Omit<RenderRequest, 'id'>, signal: AbortSignal): Promise<RenderOutcome> {
    signal.throwIfAborted();
    const id = ++this.#lastId;
    const worker = this.#ensureWorker();
    let settle: (outcome: RenderOutcome) => void = () => undefined;
    const outcome = new Promise<RenderOutcome>((resolve) => {
      settle = resolve;
    });
    const fail = (trouble: string): void => {
      if (this.#worker === worker) this.#worker = undefined;
      void endThread(worker);
      settle({ ok: false, trouble });
    };
    const timer = setTimeout(
      () => fail(`drawing took longer than ${Math.round(this.#timeLimitMs / 1000)} seconds`),
      this.#timeLimitMs,
    );
    const onAbort = () => fail('it was cancelled');
    const onError = (error: Error) => fail(error.message);
    const onMessage = (reply: RenderReply): void => {
      if (reply.id !== id) return;
      settle(
        reply.rgba
          ? { ok: true, rgba: reply.rgba }
          : { ok: false, trouble: reply.trouble ?? 'no reason given' },
      );
    };
    signal.addEventListener('abort', onAbort, { once: true });
    worker.on('error', onError).on('message', onMessage);
    try {
      worker.postMessage({ id, ...request } satisfies RenderRequest);
      const settled = await outcome;
      signal.throwIfAborted();
      return settled;
    } finally {
      clearTimeout(timer);
      signal.removeEventListener('abort', onAbort);
      worker.off('error', onError).off('message', onMessage);
    }
  }

  async close(): Promise<void> {
    const worker = this.#worker;
    this.#worker = undefined;
    if (worker) await endThread(worker);
  }

  #ensureWorker(): Worker {
    if (this.#worker) return this.#worker;
    const worker = new Worker(moduleBeside(import.meta.url, './render-worker'), {
      resourceLimits: { maxOldGenerationSizeMb: MEMORY_LIMIT_MB },
    });
    // While nobody waits an error has nobody to tell; the next picture starts anew.
    worker.on('error', () => {
      if (this.#worker === worker) this.#worker = undefined;
    });
    worker.unref();
    this.#worker = worker;
    return worker;
  }
}

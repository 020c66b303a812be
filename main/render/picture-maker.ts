/**
 * Pictures of one PDF file, made on a worker so that a hard page can neither freeze the caller nor take it
 * down: each request has a time limit, after which the worker is ended and a new one begun.
 */
import { stat } from 'node:fs/promises';
import { Worker } from 'node:worker_threads';
import { moduleBeside } from '../module-beside.ts';
import type { PageWindow, Picture } from './pdfium.ts';
import type { PictureReply, PictureRequest } from './picture-worker.ts';

export type PictureFailure = 'too-slow' | 'too-large' | 'not-drawable';

export type PictureOutcome =
  | { readonly ok: true; readonly picture: Picture }
  | { readonly ok: false; readonly failure: PictureFailure };

/** PDFium's wasm memory ends at 2 GiB; the file lies in it whole, beside what drawing needs. */
const MAX_FILE_BYTES = 1.2 * 2 ** 30;
const DEFAULT_TIME_LIMIT_MS = 30_000;

interface Waiting {
  readonly settle: (outcome: PictureOutcome) => void;
  readonly timer: NodeJS.Timeout;
}

export class PictureMaker {
  readonly #path: string;
  readonly #password: string;
  readonly #waiting = new Map<number, Waiting>();
  #worker: Worker | undefined;
  #lastId = 0;

  constructor(path: string, password = '') {
    this.#path = path;
    this.#password = password;
  }

  async picture(
    page: number,
    window: PageWindow,
    widthPx: number,
    timeLimitMs = DEFAULT_TIME_LIMIT_MS,
  ): Promise<PictureOutcome> {
    return await this.#asked({ page, window, widthPx }, timeLimitMs);
  }

  async wholePage(
    page: number,
    widthPx: number,
    timeLimitMs = DEFAULT_TIME_LIMIT_MS,
  ): Promise<PictureOutcome> {
    return await this.#asked({ page, widthPx }, timeLimitMs);
  }

  async #asked(request: Omit<PictureRequest, 'id'>, timeLimitMs: number): Promise<PictureOutcome> {
    if ((await stat(this.#path)).size > MAX_FILE_BYTES) return { ok: false, failure: 'too-large' };
    const id = ++this.#lastId;
    const worker = this.#startedWorker();
    return await new Promise((resolve) => {
      const timer = setTimeout(() => this.#endWorker('too-slow'), timeLimitMs);
      this.#waiting.set(id, { settle: resolve, timer });
      worker.postMessage({ id, ...request } satisfies PictureRequest);
    });
  }

  async close(): Promise<void> {
    const worker = this.#worker;
    this.#endWorker('not-drawable');
    await worker?.terminate();
  }

  #startedWorker(): Worker {
    if (this.#worker) return this.#worker;
    const worker = new Worker(moduleBeside(import.meta.url, './picture-worker'), {
      workerData: { path: this.#path, password: this.#password },
    });
    worker.on('message', (reply: PictureReply) =>
      this.#settle(
        reply.id,
        reply.picture ? { ok: true, picture: reply.picture } : { ok: false, failure: 'not-drawable' },
      ),
    );
    worker.on('error', () => {
      if (this.#worker === worker) this.#endWorker('not-drawable');
    });
    worker.unref();
    this.#worker = worker;
    return worker;
  }

  /** Ends the worker and settles all that waits on it; the next request starts a new one. */
  #endWorker(failure: PictureFailure): void {
    void this.#worker?.terminate();
    this.#worker = undefined;
    for (const id of [...this.#waiting.keys()]) this.#settle(id, { ok: false, failure });
  }

  #settle(id: number, outcome: PictureOutcome): void {
    const waiting = this.#waiting.get(id);
    if (!waiting) return;
    clearTimeout(waiting.timer);
    this.#waiting.delete(id);
    waiting.settle(outcome);
  }
}

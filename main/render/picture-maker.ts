/**
 * Pictures of one PDF file, made on a worker so that a hard page can neither freeze the caller nor take it
 * down: each request has a time limit, after which the worker is ended and a new one begun. The worker draws one
 * picture at a time, and gets the next only then, so that those nobody wants any more are never drawn.
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

interface Asked {
  readonly request: PictureRequest;
  readonly timeLimitMs: number;
  settle(outcome: PictureOutcome): void;
}

export interface PictureLimits {
  /** Rejects with its reason, unless the picture is being drawn already: it is then made and thrown away. */
  readonly signal?: AbortSignal;
  /** For the drawing, not for waiting until it begins. */
  readonly timeLimitMs?: number;
}

export class PictureMaker {
  readonly #path: string;
  readonly #password: string;
  readonly #queue: Asked[] = [];
  #drawing: (Asked & { readonly timer: NodeJS.Timeout }) | undefined;
  #worker: Worker | undefined;
  #lastId = 0;

  constructor(path: string, password = '') {
    this.#path = path;
    this.#password = password;
  }

  /** Begins to read the file, before it is known what to draw of it. */
  async prepare(): Promise<void> {
    if (!(await this.#isTooLarge())) this.#startedWorker();
  }

  async picture(
    page: number,
    window: PageWindow,
    widthPx: number,
    limits: PictureLimits = {},
  ): Promise<PictureOutcome> {
    return await this.#asked({ page, window, widthPx }, limits);
  }

  async wholePage(page: number, widthPx: number, limits: PictureLimits = {}): Promise<PictureOutcome> {
    return await this.#asked({ page, widthPx }, limits);
  }

  async close(): Promise<void> {
    const worker = this.#worker;
    const given = this.#queue.splice(0);
    this.#endWorker('not-drawable');
    for (const { settle } of given) settle({ ok: false, failure: 'not-drawable' });
    await worker?.terminate();
  }

  async #asked(
    request: Omit<PictureRequest, 'id'>,
    { signal, timeLimitMs = DEFAULT_TIME_LIMIT_MS }: PictureLimits,
  ): Promise<PictureOutcome> {
    if (await this.#isTooLarge()) return { ok: false, failure: 'too-large' };
    signal?.throwIfAborted();
    const { promise, resolve, reject } = Promise.withResolvers<PictureOutcome>();
    const asked: Asked = { request: { id: ++this.#lastId, ...request }, timeLimitMs, settle: resolve };
    const aborted = () => {
      const index = this.#queue.indexOf(asked);
      if (index !== -1) this.#queue.splice(index, 1);
      reject(signal?.reason);
    };
    signal?.addEventListener('abort', aborted, { once: true });
    this.#queue.push(asked);
    this.#drawNext();
    try {
      return await promise;
    } finally {
      signal?.removeEventListener('abort', aborted);
    }
  }

  async #isTooLarge(): Promise<boolean> {
    return (await stat(this.#path)).size > MAX_FILE_BYTES;
  }

  #drawNext(): void {
    if (this.#drawing) return;
    const next = this.#queue.shift();
    if (!next) return;
    const timer = setTimeout(() => this.#endWorker('too-slow'), next.timeLimitMs);
    this.#drawing = { ...next, timer };
    this.#startedWorker().postMessage(next.request);
  }

  #startedWorker(): Worker {
    if (this.#worker) return this.#worker;
    const worker = new Worker(moduleBeside(import.meta.url, './picture-worker'), {
      workerData: { path: this.#path, password: this.#password },
    });
    worker.on('message', ({ id, picture }: PictureReply) => {
      if (id === this.#drawing?.request.id)
        this.#drawn(picture ? { ok: true, picture } : { ok: false, failure: 'not-drawable' });
    });
    worker.on('error', () => {
      if (this.#worker === worker) this.#endWorker('not-drawable');
    });
    worker.unref();
    this.#worker = worker;
    return worker;
  }

  /** Ends the worker and what it draws; the next picture starts a new one. */
  #endWorker(failure: PictureFailure): void {
    void this.#worker?.terminate();
    this.#worker = undefined;
    this.#drawn({ ok: false, failure });
  }

  #drawn(outcome: PictureOutcome): void {
    const done = this.#drawing;
    if (!done) return;
    clearTimeout(done.timer);
    this.#drawing = undefined;
    done.settle(outcome);
    this.#drawNext();
  }
}

/**
 * Pictures of one PDF file, made on a worker so that a difficult page can neither block nor crash the caller. Each
 * request has a CPU limit, after which the worker is ended and replaced. The worker gets one request at a time, so that
 * pictures that are no longer wanted are never drawn.
 */
import { stat } from 'node:fs/promises';
import type { Worker } from 'node:worker_threads';
import { isDrawnReduced } from '../../core/preview/coarse-picture.ts';
import type { LightPicture, PageArea, Picture, SummedColors } from './pdfium.ts';
import type {
  PictureFile,
  PictureMessage,
  PictureReply,
  PictureRequest,
  Reduces,
} from './picture-message.ts';
import {
  borrowedPictureThread,
  endPictureThread,
  isThreadGone,
  lendPictureThread,
  startPictureThread,
} from './picture-thread.ts';
import { watchThread } from './thread-watch.ts';

export type PictureFailure = 'too-slow' | 'too-large' | 'not-drawable' | 'no-answer';

export type PictureOutcome<Made = Picture> =
  | { readonly ok: true; readonly picture: Made }
  | { readonly ok: false; readonly failure: PictureFailure };

const DEFAULT_CPU_SECONDS = 30;
/** Extra CPU per megabyte of a file that must be read whole for a copy, whatever its packing. */
const COPY_SECONDS_PER_MB = 0.025;
/** A thread whose PDFium has grown larger is not lent, because PDFium never frees its memory. */
const MAX_LENT_BYTES = 300 * 2 ** 20;

interface Asked {
  readonly request: PictureRequest;
  readonly cpuSeconds: number;
  /** The reason for a stalled thread is unknown, so it is tried once more. */
  readonly isSecondTry: boolean;
  settle(outcome: PictureOutcome<Picture | LightPicture>): void;
}

export interface PictureLimits {
  /** Cancels the request with the signal's reason. A picture that is already being drawn is finished and discarded. */
  readonly signal?: AbortSignal;
  /** CPU for the drawing; reading a large file is added to it. */
  readonly cpuSeconds?: number;
}

export interface PictureMaking {
  readonly password?: string | undefined;
  /** `where-needed` by default. */
  readonly reduces?: Reduces;
  /** A thread that was started in advance; this maker takes it over. */
  readonly thread?: Worker | undefined;
  /** Whether it uses a thread that has drawn for another maker, and leaves its own for the next. */
  readonly isLent?: boolean;
}

export class PictureMaker {
  #file: PictureFile;
  readonly #queue: Asked[] = [];
  #drawing: (Asked & { stopWatch(): void }) | undefined;
  #worker: Worker | undefined;
  #lastId = 0;
  /** Threads that are ending. */
  readonly #leaving = new Set<Promise<void>>();
  #spare: Worker | undefined;
  readonly #isLent: boolean;
  #heapBytes = 0;

  constructor(path: string, making: PictureMaking = {}) {
    const { password = '', reduces = 'where-needed', isLent = false } = making;
    this.#file = { path, password, reduces };
    this.#isLent = isLent;
    this.#spare = making.thread;
  }

  /** Starts reading the file before any picture is requested. */
  prepare(): void {
    this.#ensureWorker();
  }

  /** Call this when the file has moved to another path. */
  useFileAt(path: string): void {
    this.#file = { ...this.#file, path };
    this.#worker?.postMessage(this.#file satisfies PictureMessage);
  }

  /** Changes to another file; all requests for the old one must have been answered. */
  useOtherFile(path: string): void {
    this.#file = { ...this.#file, path };
    this.#worker?.postMessage({ ...this.#file, isOther: true } satisfies PictureMessage);
  }

  async picture(
    page: number,
    window: PageArea,
    widthPx: number,
    limits: PictureLimits = {},
  ): Promise<PictureOutcome> {
    return await this.ask({ page, window, widthPx }, limits);
  }

  /** The sum of each pixel's first color, or of all its colors. */
  async light(
    page: number,
    window: PageArea,
    widthPx: number,
    light: SummedColors,
    limits: PictureLimits = {},
  ): Promise<PictureOutcome<LightPicture>> {
    return await this.ask<LightPicture>({ page, window, widthPx, light }, limits);
  }

  async wholePage(page: number, widthPx: number, limits: PictureLimits = {}): Promise<PictureOutcome> {
    return await this.ask({ page, widthPx }, limits);
  }

  async close(): Promise<void> {
    if (this.#worker && this.#isLent && this.#isIdle() && this.#heapBytes < MAX_LENT_BYTES) {
      lendPictureThread(this.#worker);
      this.#worker = undefined;
    }
    const given = this.#queue.splice(0);
    this.#endWorker('not-drawable');
    for (const { settle } of given) settle({ ok: false, failure: 'not-drawable' });
    await Promise.all(this.#leaving);
  }

  /** `Made` is the kind of picture that the request asks for. */
  async ask<Made extends Picture | LightPicture = Picture>(
    request: Omit<PictureRequest, 'id'>,
    { signal, cpuSeconds = DEFAULT_CPU_SECONDS }: PictureLimits,
  ): Promise<PictureOutcome<Made>> {
    const { size: sizeBytes } = await stat(this.#file.path);
    signal?.throwIfAborted();
    const isReduced = isDrawnReduced({ sizeBytes });
    const { promise, resolve, reject } = Promise.withResolvers<PictureOutcome<Made>>();
    const asked: Asked = {
      request: { id: ++this.#lastId, ...request },
      cpuSeconds: cpuSeconds + (sizeBytes / 1e6) * COPY_SECONDS_PER_MB,
      isSecondTry: false,
      settle: resolve as Asked['settle'],
    };
    const abort = () => {
      const index = this.#queue.indexOf(asked);
      if (index !== -1) this.#queue.splice(index, 1);
      reject(signal?.reason);
    };
    signal?.addEventListener('abort', abort, { once: true });
    this.#queue.push(asked);
    this.#drawNext();
    try {
      const outcome = await promise;
      // No copy of the file is small enough.
      if (isReduced && !outcome.ok && outcome.failure === 'not-drawable')
        return { ok: false, failure: 'too-large' };
      return outcome;
    } finally {
      signal?.removeEventListener('abort', abort);
    }
  }

  #drawNext(): void {
    if (this.#drawing) return;
    const next = this.#queue.shift();
    if (!next) return;
    const worker = this.#ensureWorker();
    const stopWatch = watchThread(worker, next, (end) => {
      if (end === 'no-answer' && !next.isSecondTry) this.#tryAgain(next);
      else this.#endWorker(end);
    });
    this.#drawing = { ...next, stopWatch };
    worker.postMessage(next.request satisfies PictureMessage);
  }

  #tryAgain(asked: Asked): void {
    this.#queue.unshift({ ...asked, isSecondTry: true });
    // The outcome of this drawing is not final yet.
    this.#drawing = undefined;
    this.#endWorker('no-answer');
    this.#drawNext();
  }

  #ensureWorker(): Worker {
    if (this.#worker) return this.#worker;
    const worker = this.#takenThread() ?? startPictureThread();
    this.#spare = undefined;
    worker.postMessage(this.#file satisfies PictureMessage);
    worker.on('message', (reply: PictureReply) => {
      if (reply.id !== this.#drawing?.request.id) return;
      const { picture, heapBytes } = reply;
      this.#heapBytes = heapBytes;
      this.finishDrawing(picture ? { ok: true, picture } : { ok: false, failure: 'not-drawable' });
    });
    worker.on('error', () => {
      if (this.#worker === worker) this.#endWorker('not-drawable');
    });
    this.#worker = worker;
    return worker;
  }

  #takenThread(): Worker | undefined {
    if (this.#spare && !isThreadGone(this.#spare)) return this.#spare;
    return this.#isLent ? borrowedPictureThread() : undefined;
  }

  #isIdle(): boolean {
    return !this.#drawing && this.#queue.length === 0;
  }

  /** Ends the worker and its drawing; the next picture starts a new one. */
  #endWorker(failure: PictureFailure): void {
    const worker = this.#worker ?? this.#spare;
    if (worker) {
      const leaving = endPictureThread(worker).then(() => void this.#leaving.delete(leaving));
      this.#leaving.add(leaving);
    }
    this.#worker = undefined;
    this.#spare = undefined;
    this.finishDrawing({ ok: false, failure });
  }

  finishDrawing(outcome: PictureOutcome<Picture | LightPicture>): void {
    const done = this.#drawing;
    if (!done) return;
    done.stopWatch();
    this.#drawing = undefined;
    done.settle(outcome);
    this.#drawNext();
  }
}

import { Worker } from 'node:worker_threads';
import { moduleBeside } from '../files/module-beside.ts';
import { endThread } from '../files/thread-end.ts';
import {
  FILE_END,
  type PictureMessage,
  type PictureThreadData,
  type PictureThreadStart,
  THREAD_STATE,
} from './picture-message.ts';

const states = new WeakMap<Worker, Int32Array>();

/**
 * Starts a thread that draws pictures of one file, which is named later. A thread started `ahead` prepares what a large
 * artwork will need, which takes half a second.
 */
export function startPictureThread({ isAhead }: PictureThreadStart = { isAhead: false }): Worker {
  const workerData: PictureThreadData = { isAhead, state: new Int32Array(new SharedArrayBuffer(4)) };
  const worker = new Worker(moduleBeside(import.meta.url, './picture-worker'), { workerData });
  states.set(worker, workerData.state);
  // While no caller waits for the thread, nothing else handles its errors.
  worker.on('error', () => undefined);
  worker.unref();
  return worker;
}

/**
 * Ends the thread: at once if it is in PDFium, which is not native code and can be stopped at any moment. Other work is
 * allowed to finish.
 */
export async function endPictureThread(thread: Worker): Promise<void> {
  const state = states.get(thread);
  const was = state && Atomics.exchange(state, 0, THREAD_STATE.leaving);
  if (was === THREAD_STATE.inPdfium) await thread.terminate();
  else await endThread(thread);
}

/** Whether the thread has ended, usually by an error. */
export const isThreadGone = (thread: Worker): boolean => thread.threadId === -1;

/** A thread waits this long for the next file, because starting PDFium takes about as long as drawing a page. */
const SPARE_MS = 20_000;

let spare: { readonly thread: Worker; readonly timer: NodeJS.Timeout } | undefined;

/** Takes back an idle thread, for the next caller. */
export function lendPictureThread(thread: Worker): void {
  // Only these events: the thread itself uses other listeners to know when messages are received.
  for (const event of ['message', 'error']) thread.removeAllListeners(event);
  thread.on('error', () => undefined);
  thread.postMessage(FILE_END satisfies PictureMessage);
  thread.unref();
  if (spare) return void endPictureThread(thread);
  spare = { thread, timer: setTimeout(() => void endSparePictureThread(), SPARE_MS).unref() };
}

/** Undefined where no thread is waiting. */
export function borrowedPictureThread(): Worker | undefined {
  const thread = spare?.thread;
  clearTimeout(spare?.timer);
  spare = undefined;
  return thread && !isThreadGone(thread) ? thread : undefined;
}

/** Await this before the thread that lent it ends. */
export async function endSparePictureThread(): Promise<void> {
  const thread = borrowedPictureThread();
  if (thread) await endPictureThread(thread);
}

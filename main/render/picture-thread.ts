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
 * Starts a thread that draws pictures of one file, which is named later. One that is started `ahead` prepares what a
 * large artwork will need, which takes half a second.
 */
export function startPictureThread({ isAhead }: PictureThreadStart = { isAhead: false }): Worker {
  const workerData: PictureThreadData = { isAhead, state: new Int32Array(new SharedArrayBuffer(4)) };
  const worker = new Worker(moduleBeside(import.meta.url, './picture-worker'), { workerData });
  states.set(worker, workerData.state);
  // While no caller waits for it, an error has no receiver.
  worker.on('error', () => undefined);
  worker.unref();
  return worker;
}

/** Ends it: at once in PDFium, which is no native code and can be stopped at any moment. All else is let come to its end. */
export async function endPictureThread(thread: Worker): Promise<void> {
  const state = states.get(thread);
  const was = state && Atomics.exchange(state, 0, THREAD_STATE.leaving);
  if (was === THREAD_STATE.inPdfium) await thread.terminate();
  else await endThread(thread);
}

/** Whether it has ended, by an error mostly. */
export const isThreadGone = (thread: Worker): boolean => thread.threadId === -1;

/** A thread waits this long for the next file: starting PDFium takes about as long as drawing a page. */
const SPARE_MS = 20_000;

let spare: { readonly thread: Worker; readonly timer: NodeJS.Timeout } | undefined;

/** Takes back an idle thread, for the next caller. */
export function lendPictureThread(thread: Worker): void {
  // Of these alone: by other listeners the thread itself knows when it is heard.
  for (const event of ['message', 'error']) thread.removeAllListeners(event);
  thread.on('error', () => undefined);
  thread.postMessage(FILE_END satisfies PictureMessage);
  thread.unref();
  if (spare) return void endPictureThread(thread);
  spare = { thread, timer: setTimeout(() => void endSparePictureThread(), SPARE_MS).unref() };
}

/** Undefined where none waits. */
export function borrowedPictureThread(): Worker | undefined {
  const thread = spare?.thread;
  clearTimeout(spare?.timer);
  spare = undefined;
  return thread && !isThreadGone(thread) ? thread : undefined;
}

/** To be waited for before the thread that lent it ends. */
export async function endSparePictureThread(): Promise<void> {
  const thread = borrowedPictureThread();
  if (thread) await endPictureThread(thread);
}

import { Worker } from 'node:worker_threads';
import { moduleBeside } from '../files/module-beside.ts';
import type { PictureThreadStart } from './picture-message.ts';

/**
 * Starts a thread that draws pictures of one file, which it is told later. One that is started `ahead` makes ready what
 * a large artwork will need, which takes half a second.
 */
export function startPictureThread({ isAhead }: PictureThreadStart = { isAhead: false }): Worker {
  const workerData: PictureThreadStart = { isAhead };
  const worker = new Worker(moduleBeside(import.meta.url, './picture-worker'), { workerData });
  // While nobody waits for it an error has nobody to tell.
  worker.on('error', () => undefined);
  worker.unref();
  return worker;
}

/** Whether it has ended, by an error mostly. */
export const isThreadGone = (thread: Worker): boolean => thread.threadId === -1;

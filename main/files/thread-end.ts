/** Ends a thread without interrupting native code, which could crash the whole program. */
import type { Worker } from 'node:worker_threads';

/** Message to a thread: stop the current work, and exit. */
export const THREAD_END = 'end';

const PATIENCE_MS = 5000;

/** Asks the thread to end, and terminates it only if it has not ended after a while. */
export async function endThread(worker: Worker, patienceMs = PATIENCE_MS): Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  const gone = new Promise<void>((resolve) => {
    // A thread that has ended has no id any more, and sends no second event.
    if (worker.threadId === -1) resolve();
    else worker.once('exit', () => resolve());
  });
  const waitedEnough = new Promise<void>((resolve) => {
    timer = setTimeout(resolve, patienceMs);
  });
  worker.postMessage(THREAD_END);
  await Promise.race([gone, waitedEnough]);
  clearTimeout(timer);
  await worker.terminate();
}

/** Draws pages on a thread of its own; see draw-process.ts for the other end. */
import { parentPort } from 'node:worker_threads';
import { THREAD_END } from '../files/thread-end.ts';
import type { DrawMessage, DrawReply } from './draw-message.ts';
import { DrawnFiles } from './drawn-files.ts';

const port = parentPort!;
const files = new DrawnFiles();

port.on('message', async (message: DrawMessage) => {
  if (message === THREAD_END) {
    await files.close().catch(() => undefined);
    // Ends this thread alone.
    process.exit();
  }
  const { id } = message;
  try {
    const rgba = await files.picture(message);
    port.postMessage({ id, rgba } satisfies DrawReply, [rgba.buffer as ArrayBuffer]);
  } catch (error) {
    const trouble = error instanceof Error ? error.message : String(error);
    port.postMessage({ id, trouble } satisfies DrawReply);
  }
});

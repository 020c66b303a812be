/** Draws pages on a separate thread; see draw-process.ts for the other end. */
import { parentPort } from 'node:worker_threads';
import { present } from '../../core/measure/present.ts';
import { THREAD_END } from '../files/thread-end.ts';
import { startPdfium } from '../render/pdfium.ts';
import { type DrawMessage, type DrawReply, FILES_END } from './draw-message.ts';
import { DrawnFiles } from './drawn-files.ts';

const port = present(parentPort, 'The thread that started this one');
const files = new DrawnFiles();
// The first drawing shows whether the start failed.
startPdfium().catch(() => undefined);

/** Messages are handled one at a time, so that files are not closed during a drawing. */
let last: Promise<void> = Promise.resolve();
port.on('message', (message: DrawMessage) => {
  last = last.then(() => answer(message));
});

async function answer(message: DrawMessage): Promise<void> {
  if (message === FILES_END) return await files.close().catch(() => undefined);
  if (message === THREAD_END) {
    await files.close().catch(() => undefined);
    // Ends only this thread.
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
}

/**
 * Code of the process for heavy work; see task-process.ts for the other end. Tasks run on a thread, so that this thread
 * always receives messages, which a busy process would not. It also keeps pdf.js from mistaking an Electron process for
 * a browser.
 */
import { Worker } from 'node:worker_threads';
import { moduleBeside } from '../files/module-beside.ts';
import { endThread } from '../files/thread-end.ts';
import type { TaskMessage, TaskReply } from './task-process.ts';

/** How Electron lets its processes talk. */
interface ParentPort {
  on(event: 'message', listener: (event: { readonly data: TaskMessage }) => void): void;
  postMessage(reply: TaskReply): void;
}

const { parentPort } = process as { readonly parentPort?: ParentPort | null };
const thread = new Worker(moduleBeside(import.meta.url, './worker'));

if (parentPort) {
  parentPort.on('message', ({ data }) => thread.postMessage(data));
  thread.on('message', (reply: TaskReply) => parentPort.postMessage(reply));
} else {
  process.on('message', (message: TaskMessage) => thread.postMessage(message));
  // What cannot be sent has no receiver.
  thread.on('message', (reply: TaskReply) => void process.send?.(reply, () => undefined));
  // No caller is left: running work is canceled, so that nothing half-written stays.
  process.on('disconnect', () => void endThread(thread).then(() => process.exit()));
}
thread.on('error', (error) => {
  console.error(error);
  process.exit(1);
});
thread.on('exit', (code) => process.exit(code));
// Ctrl-C in a terminal reaches every process: the one that started this one decides what comes of it.
process.on('SIGINT', () => undefined);

/** How the drawing process is started, and heard. */
import { fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { moduleBeside } from '../files/module-beside.ts';
import { endThread } from '../files/thread-end.ts';
import type { DrawMessage, DrawReply } from './draw-message.ts';

export interface DrawPort {
  post(message: DrawMessage): void;
  onReply(listener: (reply: DrawReply) => void): void;
  /** It has gone; `how` says in a few words how it came to that. */
  onExit(listener: (how: string) => void): void;
  /** Ends it at once, whatever it does. */
  kill(): void;
}

/** A page may ask for any memory; more than this has no drawing that is one. */
const HEAP_LIMIT = '--max-old-space-size=1536';
const BEAT_MS = 1000;

/**
 * In a release Electron’s processes cannot start others: there the verification has a process of its own, see
 * main/tasks/task-runner.ts, and draws on a thread in it.
 */
export const startDrawing = (): DrawPort =>
  'electron' in process.versions ? drawingThread() : drawingProcess();

export function drawingProcess(): DrawPort {
  const child = fork(fileURLToPath(moduleBeside(import.meta.url, './draw-child')), [], {
    serialization: 'advanced',
    execArgv: [HEAP_LIMIT],
    // What renderers print of broken pages is for nobody.
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  });
  child.unref();
  child.channel?.unref();
  return {
    post: (message) => void child.send(message, () => undefined),
    onReply: (listener) => void child.on('message', listener),
    onExit(listener) {
      child.once('exit', (code, signal) => listener(signal ?? `exit code ${code}`));
      child.once('error', (error) => listener(error.message));
    },
    kill: () => void child.kill('SIGKILL'),
  };
}

export function drawingThread(): DrawPort {
  const thread = new Worker(moduleBeside(import.meta.url, './draw-worker'));
  thread.unref();
  let timer: NodeJS.Timeout | undefined;
  return {
    post: (message) => thread.postMessage(message),
    onReply(listener) {
      thread.on('message', listener);
      timer = setInterval(() => {
        const { user, system } = process.cpuUsage();
        listener({ cpuSeconds: (user + system) / 1e6 });
      }, BEAT_MS).unref();
    },
    onExit(listener) {
      thread.on('error', (error) => listener(error.message));
      thread.once('exit', (code) => {
        clearInterval(timer);
        listener(`exit code ${code}`);
      });
    },
    kill: () => void endThread(thread),
  };
}

/** Starts the drawing process and receives its messages. */
import { type ChildProcess, fork } from 'node:child_process';
import { readFileSync, rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { moduleBeside } from '../files/module-beside.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { endThread } from '../files/thread-end.ts';
import { type DrawChildReply, type DrawMessage, type DrawReply, FILES_END } from './draw-message.ts';

export interface DrawPort {
  readonly pid?: number | undefined;
  /** CPU seconds that it had used before it was borrowed. */
  readonly usedCpuSeconds?: number;
  post(message: DrawMessage): void;
  onReply(listener: (reply: DrawReply) => void): void;
  /** Called when it has ended; `how` describes in a few words how. */
  onExit(listener: (how: string) => void): void;
  /** Ends it at once, even while it works. */
  kill(): void;
  /** Returns a working process for reuse. If absent, the process is ended. */
  release?(): void;
}

/** A page may request any amount of memory; no real drawing needs more than this. */
const HEAP_LIMIT = '--max-old-space-size=1536';
const BEAT_MS = 1000;

/**
 * In a release, Electron’s processes cannot start others: there the verification already has its own process, see
 * main/tasks/task-runner.ts, and draws on a thread in it.
 */
export const startDrawing = (): DrawPort =>
  'electron' in process.versions ? drawingThread() : drawingProcess();

/**
 * An idle drawing process waits this long for the next verification, because starting one takes over a second of CPU.
 */
const SPARE_MS = 20_000;
/** A process with more memory than this is ended instead. */
const SPARE_BYTES = 400 * 2 ** 20;

interface DrawChild {
  readonly child: ChildProcess;
  /** The folder where it writes its pictures. */
  readonly folder: string;
  cpuSeconds: number;
  residentBytes: number;
}

let spare: { readonly kept: DrawChild; readonly timer: NodeJS.Timeout } | undefined;

export function drawingProcess(): DrawPort {
  const drawing = takeSpare() ?? startChild();
  const { child } = drawing;
  return {
    pid: child.pid,
    usedCpuSeconds: drawing.cpuSeconds,
    post: (message) => void child.send(message, () => undefined),
    onReply: (listener) => void child.on('message', (reply: DrawChildReply) => listener(withPicture(reply))),
    onExit(listener) {
      child.once('exit', (code, signal) => listener(signal ?? `exit code ${code}`));
      child.once('error', (error) => listener(error.message));
    },
    kill: () => void child.kill('SIGKILL'),
    release: () => keepSpare(drawing),
  };
}

function withPicture(reply: DrawChildReply): DrawReply {
  if (!('rgbaPath' in reply)) return reply;
  const { id, rgbaPath } = reply;
  try {
    const rgba = readFileSync(rgbaPath);
    rmSync(rgbaPath);
    return { id, rgba };
  } catch (error) {
    return { id, trouble: (error as Error).message };
  }
}

function startChild(): DrawChild {
  const folder = makeScratchFolder('drawings');
  const child = fork(fileURLToPath(moduleBeside(import.meta.url, './draw-child')), [folder], {
    serialization: 'advanced',
    execArgv: [HEAP_LIMIT],
    // What renderers print about broken pages is discarded.
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  });
  child.unref();
  child.channel?.unref();
  const started: DrawChild = { child, folder, cpuSeconds: 0, residentBytes: 0 };
  listenToChild(started);
  return started;
}

function listenToChild(drawing: DrawChild): void {
  drawing.child.on('exit', () => rmSync(drawing.folder, { recursive: true, force: true }));
  drawing.child.on('message', (reply: DrawChildReply) => {
    if ('cpuSeconds' in reply) Object.assign(drawing, reply);
  });
  drawing.child.on('error', () => undefined);
}

function keepSpare(drawing: DrawChild): void {
  const { child } = drawing;
  if (spare || !child.connected || drawing.residentBytes > SPARE_BYTES) return void child.kill('SIGKILL');
  for (const event of ['message', 'exit', 'error']) child.removeAllListeners(event);
  listenToChild(drawing);
  child.send(FILES_END, () => undefined);
  const timer = setTimeout(() => {
    spare = undefined;
    child.kill('SIGKILL');
  }, SPARE_MS).unref();
  spare = { kept: drawing, timer };
}

function takeSpare(): DrawChild | undefined {
  const taken = spare;
  spare = undefined;
  clearTimeout(taken?.timer);
  return taken?.kept.child.connected ? taken.kept : undefined;
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
        listener({ cpuSeconds: (user + system) / 1e6, residentBytes: process.memoryUsage.rss() });
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

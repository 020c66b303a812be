/**
 * The separate process for heavy work, as seen by its caller. Each shell starts it in its way and passes that to the
 * services. A thread inside it runs the tasks, see `task-child.ts`.
 */
import { fileURLToPath } from 'node:url';
import type { Progress } from '../../core/contract/parts.ts';
import { moduleBeside } from '../files/module-beside.ts';
import type { THREAD_END } from '../files/thread-end.ts';
import type { TaskName } from './tasks.ts';

export interface TaskProcess {
  readonly pid: number | undefined;
  /** A process that has ended sends nothing more. */
  post(message: TaskMessage): void;
  onMessage(listener: (reply: TaskReply) => void): void;
  /** It ended, or could not be started; `how` gives the reason in a few words. */
  onExit(listener: (how: string) => void): void;
  /** Ends it at once, even while it works. */
  kill(): void;
}

export type TaskProcessStart = () => TaskProcess;

/** Without a task: stop the work of that id. */
export type TaskMessage =
  | { readonly id: number; readonly task?: { readonly name: TaskName; readonly request: unknown } }
  | typeof THREAD_END;

export type TaskReply =
  | { readonly id: number; readonly progress: Progress }
  | { readonly id: number; readonly result: unknown }
  | { readonly id: number; readonly error: unknown };

/** What a process runs; both ways of starting one want a path, not an address. */
export const TASK_CHILD = fileURLToPath(moduleBeside(import.meta.url, './task-child'));

/** No more: Electron gives all threads of a process 4 GiB together. */
export const HEAP_LIMIT = '--max-old-space-size=3072';

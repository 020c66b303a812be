import type { Result } from '../../core/measure/result.ts';
import type { Log } from '../files/day-log.ts';
import type { ActParts } from '../services/service-parts.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { Terminal } from './terminal.ts';

/** What every command works with. */
export interface CommandContext extends Omit<ActParts, 'archive'> {
  readonly terminal: Terminal;
  /** Ctrl-C cancels, and progress is shown. */
  readonly tools: TaskTools;
  readonly archiveFolder: string;
  /** Language and region of the machine, such as en-US: what a shop is like before anybody has set it up. */
  readonly locale: string;
  /** Absent: nothing is logged. */
  readonly log?: Log | undefined;
  /** Opens the archive for the length of the command; heavy work of a shared one may go to a worker. */
  withArchive<T>(use: (parts: ActParts) => Promise<Result<T>>): Promise<Result<T>>;
}

/** How a command ends: done, or blocked by findings that it has already shown. */
export type CommandOutcome = 'done' | 'blocked';

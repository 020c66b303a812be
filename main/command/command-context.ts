import type { Result } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';
import type { Terminal } from './terminal.ts';

/** What every command works with. */
export interface CommandContext {
  readonly terminal: Terminal;
  readonly signal: AbortSignal;
  readonly archiveFolder: string;
  /** ISO date-time. */
  now(): string;
  /** Opens the archive for the length of the command. */
  withArchive<T>(use: (archive: Archive) => Promise<Result<T>>): Promise<Result<T>>;
}

/** How a command ends: done, or blocked by findings that it has already shown. */
export type CommandOutcome = 'done' | 'blocked';

import type { Problem } from '../../core/measure/result.ts';

/** What the shell learns of how a command ended. */
export const EXIT = {
  done: 0,
  /** Findings stop the output, a check found something that would, or the verification of the output failed. */
  blocked: 1,
  /** The command line itself is wrong. */
  usage: 2,
  /** The artwork or the job file cannot be used. */
  input: 3,
  /** A file or folder cannot be read or written. */
  files: 4,
  /** The archive cannot be used, or does not hold what was asked for. */
  archive: 5,
  /** A bug. */
  internal: 70,
  /** Interrupted from the keyboard: 128 + SIGINT. */
  cancelled: 130,
} as const;

export type ExitCode = (typeof EXIT)[keyof typeof EXIT];

export function exitCodeOf(problem: Problem): ExitCode {
  const { code } = problem;
  if (code === 'output-blocked') return EXIT.blocked;
  if (code === 'cancelled') return EXIT.cancelled;
  if (/^(file-|folder-|disk-)/.test(code)) return EXIT.files;
  if (
    /^(archive-|vault-)/.test(code) ||
    /^(job-unknown|job-changed-elsewhere|job-number-taken|job-saved-in-window|job-there-already|output-unknown|stock-roll-unknown|stock-roll-there|stock-below-zero|stock-printed-already|stock-movement-(unknown|undone|fixed)|panel-unknown|note-unknown)$/.test(
      code,
    )
  ) {
    return EXIT.archive;
  }
  return EXIT.input;
}

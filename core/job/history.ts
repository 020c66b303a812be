/**
 * Undo and redo as plain data. Jobs are immutable and share all unchanged parts, so a history of whole jobs takes
 * little more memory than the differences.
 */
import type { Job } from './schema.ts';

/** One undo step: its name for the menu, and the job on the other side of the edit. */
export interface HistoryStep {
  readonly label: string;
  readonly job: Job;
}

export interface JobHistory {
  /** Jobs before each edit, the latest last. */
  readonly past: readonly HistoryStep[];
  readonly present: Job;
  /** Jobs after each undone edit; the next to redo is last. */
  readonly future: readonly HistoryStep[];
  /** The gesture of the last edit, such as one drag of one seam. */
  readonly gesture?: string;
}

/** Older steps are dropped; the archive keeps what was saved. */
export const MAX_HISTORY_STEPS = 200;

export const historyOf = (job: Job): JobHistory => ({ past: [], present: job, future: [] });

/**
 * Adds an edit. Consecutive edits with one `gesture`, such as a drag of a seam, become a single step. An edit after
 * undo clears the redo steps.
 */
export function historyEdited(
  history: JobHistory,
  edit: { readonly label: string; readonly job: Job; readonly gesture?: string },
): JobHistory {
  if (edit.job === history.present) return history;
  const isSameGesture = edit.gesture !== undefined && edit.gesture === history.gesture;
  const past = isSameGesture
    ? history.past
    : [...history.past, { label: edit.label, job: history.present }].slice(-MAX_HISTORY_STEPS);
  return {
    past,
    present: edit.job,
    future: [],
    ...(edit.gesture === undefined ? {} : { gesture: edit.gesture }),
  };
}

/** Undoes the last edit; the same history where there is none. */
export function historyUndone(history: JobHistory): JobHistory {
  const step = history.past.at(-1);
  if (!step) return history;
  return {
    past: history.past.slice(0, -1),
    present: step.job,
    future: [...history.future, { label: step.label, job: history.present }],
  };
}

/** Redoes the last undone edit; the same history where there is none. */
export function historyRedone(history: JobHistory): JobHistory {
  const step = history.future.at(-1);
  if (!step) return history;
  return {
    past: [...history.past, { label: step.label, job: history.present }],
    present: step.job,
    future: history.future.slice(0, -1),
  };
}

/** Names of the Undo and Redo steps for the menu; undefined where there is none. */
export const historyUndoLabel = (history: JobHistory): string | undefined => history.past.at(-1)?.label;
export const historyRedoLabel = (history: JobHistory): string | undefined => history.future.at(-1)?.label;

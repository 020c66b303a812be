/**
 * Undo and redo as plain data. Jobs are never changed in place and share all that an edit left alone, so a history of
 * whole jobs costs little more than the differences.
 */
import type { Job } from './schema.ts';

/** One edit that can be taken back: its name for the menu, and the job on its other side. */
export interface HistoryStep {
  readonly label: string;
  readonly job: Job;
}

export interface JobHistory {
  /** Jobs before each edit, the latest last. */
  readonly past: readonly HistoryStep[];
  readonly present: Job;
  /** Jobs after each edit that was taken back, the next to redo last. */
  readonly future: readonly HistoryStep[];
  /** What the last edit was part of, such as one drag of one seam. */
  readonly gesture?: string;
}

/** Older edits are let go; the archive keeps what was saved. */
export const MAX_HISTORY_STEPS = 200;

export const historyOf = (job: Job): JobHistory => ({ past: [], present: job, future: [] });

/**
 * Takes an edit in. Edits of one `gesture` in a row, such as a seam that is dragged, become a single step. An
 * edit after undo lets go of what could be redone.
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

/** Takes the last edit back; the same history where there is none. */
export function historyUndone(history: JobHistory): JobHistory {
  const step = history.past.at(-1);
  if (!step) return history;
  return {
    past: history.past.slice(0, -1),
    present: step.job,
    future: [...history.future, { label: step.label, job: history.present }],
  };
}

/** Makes the last edit that was taken back again; the same history where there is none. */
export function historyRedone(history: JobHistory): JobHistory {
  const step = history.future.at(-1);
  if (!step) return history;
  return {
    past: [...history.past, { label: step.label, job: history.present }],
    present: step.job,
    future: history.future.slice(0, -1),
  };
}

/** What Undo and Redo would do, for the menu; undefined where they do nothing. */
export const historyUndoLabel = (history: JobHistory): string | undefined => history.past.at(-1)?.label;
export const historyRedoLabel = (history: JobHistory): string | undefined => history.future.at(-1)?.label;

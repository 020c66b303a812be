/** Short messages at the edge of the window: what went wrong, with its remedy, or what was done. */
import { signal } from '@preact/signals';
import type { Problem } from '../../core/measure/result.ts';

export interface Notice {
  readonly id: number;
  readonly kind: 'problem' | 'done';
  readonly message: string;
  readonly remedy?: string;
  /** The job that was on screen when it came: it goes when another job is opened. */
  readonly jobId: string | undefined;
}

const DONE_STAYS_MS = 6000;

export const notices = signal<readonly Notice[]>([]);
let lastId = 0;
let jobOnScreen: string | undefined;

/** A problem stays until it is dismissed; the same one is shown once. */
export function showProblem(problem: Problem): void {
  if (problem.code === 'cancelled') return;
  if (notices.value.some(({ message }) => message === problem.message)) return;
  notices.value = [
    ...notices.value,
    { id: ++lastId, kind: 'problem', message: problem.message, remedy: problem.remedy, jobId: jobOnScreen },
  ];
}

export function showDone(message: string): void {
  const id = ++lastId;
  notices.value = [...notices.value, { id, kind: 'done', message, jobId: jobOnScreen }];
  setTimeout(() => dismissNotice(id), DONE_STAYS_MS);
}

/** Sets which job is on screen, if any. Messages about other jobs are of no use to a newly opened one. */
export function followNoticesOf(jobId: string | undefined): void {
  jobOnScreen = jobId;
  if (jobId === undefined) return;
  notices.value = notices.value.filter((notice) => notice.jobId === undefined || notice.jobId === jobId);
}

export function dismissNotice(id: number): void {
  notices.value = notices.value.filter((notice) => notice.id !== id);
}

import type { Progress } from '../../core/contract/parts.ts';

/** How a task learns that it is canceled, and reports its progress. */
export interface TaskTools {
  readonly signal: AbortSignal;
  readonly report: (progress: Progress) => void;
}

import type { Progress } from '../../core/contract/parts.ts';

/** How a task hears that it is called off, and tells how far it is. */
export interface TaskTools {
  readonly signal: AbortSignal;
  readonly report: (progress: Progress) => void;
}

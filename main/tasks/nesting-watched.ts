/** Nesting that reports progress and stops when canceled. */
import type { Progress } from '../../core/contract/parts.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { SearchLook } from '../../core/rolls/assignment-search.ts';
import { cancelledProblem } from '../files/file-problem.ts';

class NestingCalledOff extends Error {}

const PROGRESS_STEPS = 100;

interface NestingTools {
  readonly signal: AbortSignal;
  readonly report: (progress: Progress) => void;
}

export function nestingWatched<T>(
  { signal, report }: NestingTools,
  nest: (look: SearchLook) => T,
): Result<T> {
  let shown = -1;
  const show = (done: number) => report({ what: 'Nesting panels on rolls', done, total: PROGRESS_STEPS });
  try {
    const made = nest((share) => {
      if (signal.aborted) throw new NestingCalledOff();
      const done = Math.floor(share * PROGRESS_STEPS);
      if (done === shown) return;
      shown = done;
      show(done);
    });
    show(PROGRESS_STEPS);
    return resultOk(made);
  } catch (error) {
    if (error instanceof NestingCalledOff) return resultProblem(cancelledProblem);
    throw error;
  }
}

import type { Progress } from './parts.ts';

/** Progress of work: `3 of 12` for countable work, `37 %` of one piece; empty where nothing is known yet. */
export function progressText({ done, total }: Pick<Progress, 'done' | 'total'>): string {
  if (total > 1) return `${Math.min(Math.floor(done) + 1, total)} of ${total}`;
  return done > 0 ? `${Math.floor((done / total) * 100)} %` : '';
}

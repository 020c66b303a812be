/** Start times of a job's steps, as moved in the shop's week view. */
import { FIRST_FILM_ID, jobWithProduction } from '../job-films.ts';
import type { Job } from '../schema.ts';

interface Move {
  readonly step: 'print' | 'laminate' | 'install';
  readonly filmId?: string | undefined;
  readonly start: string | null;
  readonly bay?: number | null | undefined;
}

/**
 * The job with the start of a step changed; without a start the step begins as early as possible, and printing has no
 * start.
 */
export function jobWithMove(job: Job, { step, filmId = FIRST_FILM_ID, start, bay }: Move): Job {
  const at = start ?? undefined;
  if (step === 'print') return { ...job, ...jobWithProduction(job, filmId, { printStart: at }) };
  if (step === 'laminate') return { ...job, ...jobWithProduction(job, filmId, { laminateStart: at }) };
  const change = { installStart: at, ...(bay !== undefined && { bay: bay ?? undefined }) };
  return { ...job, ...jobWithProduction(job, FIRST_FILM_ID, change) };
}

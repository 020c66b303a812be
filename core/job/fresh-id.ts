import { jobIds } from './job-ids.ts';
import type { Job } from './schema.ts';

/**
 * First letter of an id, so that a person sees what it names: side, panel, joint, body line, no-seam
 * area, difficult ground, no-film area, guide line, door, film.
 */
export type IdPrefix = 's' | 'p' | 'j' | 'b' | 'k' | 'h' | 'o' | 'g' | 'd' | 'f';

/** Hands out an id that no part of the job has or ever had. */
export type FreshId = (prefix: IdPrefix) => string;

/**
 * Counts on from the highest number that the job has used. Outputs and acknowledgements of the past keep
 * naming what they named, so the id of a removed panel does not come back.
 */
export function freshIds(job: Job): FreshId {
  let taken: ReadonlySet<string> | undefined;
  let last = 0;
  return (prefix) => {
    if (!taken) {
      // Most edits need no id, so the job is looked through only when the first is asked for.
      taken = new Set(jobIds(job));
      last = highestIdNumber(job);
    }
    do last += 1;
    while (taken.has(`${prefix}${last}`));
    return `${prefix}${last}`;
  };
}

/** `after` with the count of ids kept, where an id of `before` is gone. */
export function jobWithIdsGiven(before: Job, after: Job): Job {
  if (before.sides === after.sides && before.otherFilms === after.otherFilms) return after;
  const highestBefore = highestIdNumber(before);
  return highestIdNumber(after) < highestBefore ? { ...after, idsGiven: highestBefore } : after;
}

/** The highest number at the end of an id; ids from elsewhere may end in none. */
function highestIdNumber(job: Job): number {
  let highest = job.idsGiven ?? 0;
  for (const id of jobIds(job)) highest = Math.max(highest, numberAtEnd(id));
  return highest;
}

/** At most nine digits count: counting on from a longer number would lose its last ones. */
const numberAtEnd = (id: string): number => Number(/\d{1,9}$/.exec(id)?.[0] ?? 0);

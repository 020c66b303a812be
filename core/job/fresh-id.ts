import { jobIds } from './job-ids.ts';
import type { Job } from './schema.ts';

/**
 * First letter of an id, to show what it identifies: side, panel, joint, body line, no-seam area, difficult ground,
 * no-film area, guide line, door, film.
 */
export type IdPrefix = 's' | 'p' | 'j' | 'b' | 'k' | 'h' | 'o' | 'g' | 'd' | 'f';

/** Returns an id that no part of the job has or ever had. */
export type FreshId = (prefix: IdPrefix) => string;

/**
 * Counts on from the highest number that the job has used. Old outputs and acknowledgements must keep their meaning, so
 * the id of a removed panel is never reused.
 */
export function freshIds(job: Job): FreshId {
  let taken: ReadonlySet<string> | undefined;
  let last = 0;
  return (prefix) => {
    if (!taken) {
      // Most edits need no id, so the ids are collected only on the first request.
      taken = new Set(jobIds(job));
      last = highestIdNumber(job);
    }
    do last += 1;
    while (taken.has(`${prefix}${last}`));
    return `${prefix}${last}`;
  };
}

/** `after` with the count of given ids stored, where an id of `before` is gone. */
export function jobWithIdsGiven(before: Job, after: Job): Job {
  if (before.sides === after.sides && before.otherFilms === after.otherFilms) return after;
  const highestBefore = highestIdNumber(before);
  return highestIdNumber(after) < highestBefore ? { ...after, idsGiven: highestBefore } : after;
}

/** The highest number at the end of an id; ids from elsewhere may have none. */
function highestIdNumber(job: Job): number {
  let highest = job.idsGiven ?? 0;
  for (const id of jobIds(job)) highest = Math.max(highest, numberAtEnd(id));
  return highest;
}

/** At most nine digits count: longer numbers would lose precision when counted on. */
const numberAtEnd = (id: string): number => Number(/\d{1,9}$/.exec(id)?.[0] ?? 0);

/**
 * The undo history, kept while a job is not open and over a reload, in the storage of this window, which ends with it.
 * Only the latest steps are kept, because a browser gives little room.
 */
import { z } from 'zod';
import type { JobHistory } from '../../core/job/history.ts';
import { Job } from '../../core/job/schema.ts';

const Step = z.object({ label: z.string(), job: Job });
const Kept = z.object({ past: z.array(Step), present: Job, future: z.array(Step) });

const PREFIX = 'panelwright-history-';
const MOST_STEPS = 40;
/** Some browsers give 5 MB to all that a page keeps. */
const MOST_LETTERS = 2_000_000;

export function keepHistory({ past, present, future }: JobHistory): void {
  for (let steps = MOST_STEPS; steps >= 1; steps = Math.floor(steps / 2)) {
    const text = JSON.stringify({ past: past.slice(-steps), present, future: future.slice(-steps) });
    if (text.length <= MOST_LETTERS && tryKeeping(present.id, text)) return;
  }
  tryStorage((storage) => storage.removeItem(PREFIX + present.id));
}

const tryKeeping = (jobId: string, text: string): boolean =>
  tryStorage((storage) => {
    storage.setItem(PREFIX + jobId, text);
    return true;
  }) ?? false;

/** The steps that led to this state of a job; undefined where it was changed elsewhere since. */
export function keptHistory(job: Job): JobHistory | undefined {
  const read = tryStorage((storage) => JSON.parse(storage.getItem(PREFIX + job.id) ?? 'null') as unknown);
  const kept = Kept.safeParse(read).data;
  // An edit may have put fields in another order; a schema reads them in its own.
  const isSame = kept && JSON.stringify(kept.present) === JSON.stringify(Job.safeParse(job).data);
  return isSame ? { ...kept, present: job } : undefined;
}

/** A browser may have no room, or be set to store nothing. */
function tryStorage<T>(use: (storage: Storage) => T): T | undefined {
  try {
    return use(sessionStorage);
  } catch {
    return undefined;
  }
}

/**
 * Unsaved data that a closing page cannot send: a browser sends up to 64 KB and drops larger requests. It stays in the
 * browser, at the address of this host, and is restored when the job is opened next.
 */
import { z } from 'zod';
import { Job } from '../../core/job/schema.ts';

const Unsaved = z.object({ job: Job, baseRevision: z.number() });
type Unsaved = z.infer<typeof Unsaved>;

const PREFIX = 'panelwright-unsaved-';

/** A browser may have no room, or be set to store nothing. */
function tryStorage<T>(use: (storage: Storage) => T): T | undefined {
  try {
    return use(localStorage);
  } catch {
    return undefined;
  }
}

export function keepUnsaved(unsaved: Unsaved): void {
  tryStorage((storage) => storage.setItem(PREFIX + unsaved.job.id, JSON.stringify(unsaved)));
}

export function unsavedOf(jobId: string): Unsaved | undefined {
  const read = tryStorage((storage) => JSON.parse(storage.getItem(PREFIX + jobId) ?? 'null') as unknown);
  return Unsaved.safeParse(read).data;
}

export function forgetUnsaved(jobId: string): void {
  tryStorage((storage) => storage.removeItem(PREFIX + jobId));
}

/** Jobs with something unsaved. */
export const unsavedJobs = (): Job[] =>
  (tryStorage((storage) => Object.keys(storage)) ?? [])
    .filter((key) => key.startsWith(PREFIX))
    .flatMap((key) => unsavedOf(key.slice(PREFIX.length))?.job ?? []);

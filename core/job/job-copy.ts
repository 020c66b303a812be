import type { RollPlacement } from '../shop/rolls.ts';
import type { Job } from './schema.ts';

/**
 * The job under another id. Places on rolls refer to panels as `job/panel`, because a roll can hold several jobs; they
 * get the new id.
 */
export function jobWithId(job: Job, id: string): Job {
  const renamed = ({ panelId, ...place }: RollPlacement): RollPlacement => ({
    ...place,
    panelId: panelId.startsWith(`${job.id}/`) ? `${id}/${panelId.slice(job.id.length + 1)}` : panelId,
  });
  return jobWithLocked({ ...job, id }, (locked) => locked.map(renamed));
}

/** The job with `change` applied to the locked places on rolls, on each of its films. */
export function jobWithLocked(job: Job, change: (locked: readonly RollPlacement[]) => RollPlacement[]): Job {
  const { production, otherFilms } = job;
  return {
    ...job,
    ...(production && { production: { ...production, locked: change(production.locked) } }),
    ...(otherFilms && {
      otherFilms: otherFilms.map((other) =>
        other.production?.locked
          ? { ...other, production: { ...other.production, locked: change(other.production.locked) } }
          : other,
      ),
    }),
  };
}

import type { Job } from './schema.ts';

/**
 * The job under another id. Places on rolls name their panels as `job/panel`, because rolls can hold several jobs;
 * they follow the new id.
 */
export function jobWithId(job: Job, id: string): Job {
  const copy: Job = { ...job, id };
  if (!job.production) return copy;
  const locked = job.production.locked.map((place) => ({
    ...place,
    panelId: place.panelId.startsWith(`${job.id}/`)
      ? `${id}/${place.panelId.slice(job.id.length + 1)}`
      : place.panelId,
  }));
  return { ...copy, production: { ...job.production, locked } };
}

/** Print requirements of a job's film besides colors: a white plate, and mirroring. */
import type { FilmBase } from '../shop/shelf.ts';
import { jobFilm } from './job-films.ts';
import type { Job } from './schema.ts';

/** The shelf film takes precedence over the film named in the job. */
export const filmBase = (job: Pick<Job, 'film' | 'production'>): FilmBase =>
  job.production?.film?.base ?? job.film.base ?? 'white';

/** Whether the file of a panel is mirrored; it is not where the RIP mirrors. */
export const isFileMirrored = (job: Job, { filmId }: { readonly filmId: string }): boolean =>
  jobFilm(job, filmId).film.mirror === 'file';

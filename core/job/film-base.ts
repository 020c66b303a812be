/** What the film of a job asks of its print beyond the colors: a white plate, and whether it is mirrored. */
import type { FilmBase } from '../shop/shelf.ts';
import { jobFilm } from './job-films.ts';
import type { Job } from './schema.ts';

/** The film from the shelf knows it better than the name that the job was given. */
export const filmBase = (job: Pick<Job, 'film' | 'production'>): FilmBase =>
  job.production?.film?.base ?? job.film.base ?? 'white';

/** Whether the file of a panel runs from right to left; where the RIP mirrors it does not. */
export const isFileMirrored = (job: Job, { filmId }: { readonly filmId: string }): boolean =>
  jobFilm(job, filmId).film.mirror === 'file';

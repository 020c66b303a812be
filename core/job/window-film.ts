/** Printed window glass: starting values of its perforated film. */
import { FIRST_FILM_ID, type JobFilm, jobFilms } from './job-films.ts';
import type { Job, WindowFilm } from './schema.ts';

/** Id of the panel on the glass of a no-film area. */
export const windowPanelId = (areaId: string): string => `${areaId}-glass`;

/** Film nearer to the seal will eventually touch rubber. Common practice, no source: 5 to 10 mm. */
export const LEAST_SEAL_MM = 5;

/** Common practice, no source. In inches: 5/16 to the seal, and 1 of bleed. */
export const defaultWindowFilm = ({ displayUnit }: Pick<Job, 'displayUnit'>, filmId: string): WindowFilm =>
  displayUnit === 'in' ? { filmId, sealMm: 7.9375, bleedMm: 25.4 } : { filmId, sealMm: 8, bleedMm: 25 };

/** Whether a film is made for glass, according to the shelf or else the job. */
export const isPerforated = (job: Job, { id, film }: Pick<JobFilm, 'id' | 'film'>): boolean => {
  const production =
    id === FIRST_FILM_ID ? job.production : job.otherFilms?.find((o) => o.id === id)?.production;
  return (production?.film?.perforated ?? film.perforated) === true;
};

/** The films of a job that glass can be printed on. */
export const perforatedFilms = (job: Job): readonly JobFilm[] =>
  jobFilms(job).filter((film) => isPerforated(job, film));

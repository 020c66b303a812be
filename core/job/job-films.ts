/**
 * The films of a job. Most jobs have one, which is stored in the job itself; further films are in a separate list. A
 * side names its film, and a panel may have a different one.
 *
 *     const [first, second] = jobFilms(job);          // A and B
 *     const alone = jobOnFilm(job, second.id);        // the job as if B were its only film
 */

import { FilmProductionSettings, type ProductionSettings } from '../shop/production-settings.ts';
import { panelDayText } from './install-days.ts';
import { jobProductionSettings } from './job-production-settings.ts';
import type { Film, Job, Laminate, OtherFilm, Printer, Side } from './schema.ts';

/** Name of the first film, used where a panel differs from a side that is on another film. */
export const FIRST_FILM_ID = 'first-film';

export interface JobFilm {
  readonly id: string;
  /** A for the first, then B and so on: the letters used on screens and sheets. */
  readonly letter: string;
  readonly film: Film;
  readonly laminate?: Laminate | undefined;
  readonly printer: Printer;
}

const letterAt = (index: number): string => String.fromCharCode('A'.charCodeAt(0) + index);

export const jobFilms = (
  job: Pick<Job, 'film' | 'laminate' | 'printer' | 'otherFilms'>,
): readonly [JobFilm, ...JobFilm[]] => {
  const { film, laminate, printer, otherFilms = [] } = job;
  return [
    { id: FIRST_FILM_ID, letter: letterAt(0), film, laminate, printer },
    ...otherFilms.map((other, index) => ({ ...other, letter: letterAt(index + 1) })),
  ];
};

export const hasSeveralFilms = ({ otherFilms = [] }: Pick<Job, 'otherFilms'>): boolean =>
  otherFilms.length > 0;

/** A film of the job; the first for an id that it does not have. */
export const jobFilm = (job: Parameters<typeof jobFilms>[0], filmId: string): JobFilm => {
  const films = jobFilms(job);
  return films.find(({ id }) => id === filmId) ?? films[0];
};

/** `B: Roadway matt`, with the name of the shelf film where one was selected. */
export const filmTitle = (job: Job, filmId: string): string => {
  const { letter, film } = jobFilm(job, filmId);
  return `${letter}: ${jobOnFilm(job, filmId).production?.film?.name ?? film.name}`;
};

/** `film B`, of a job with several films. */
const panelFilmText = (job: Job, { filmId }: { readonly filmId: string }): string | undefined =>
  hasSeveralFilms(job) ? `film ${jobFilm(job, filmId).letter}` : undefined;

/** Film and day of a panel, where panels differ in them: `film B · day 2`. */
export function panelTold(
  job: Job,
  panel: { readonly filmId: string; readonly installDay?: number | undefined },
): string | undefined {
  const told = [panelFilmText(job, panel), panelDayText(job, panel)].filter((text) => text !== undefined);
  return told.length === 0 ? undefined : told.join(' · ');
}

/** `LH-04`; in a job with several films `LH-04 · film B`, in a job installed on several days `LH-04 · day 2`. */
export const panelNamed = (
  job: Job,
  panel: { readonly filmId: string; readonly label: string; readonly installDay?: number | undefined },
): string => [panel.label, panelTold(job, panel)].filter((text) => text !== undefined).join(' · ');

/** The printer of a panel. */
export const panelPrinter = (
  job: Pick<Job, 'film' | 'laminate' | 'printer' | 'otherFilms'>,
  { filmId }: { readonly filmId: string },
): Printer => jobFilm(job, filmId).printer;

/**
 * The job as if this film were its only one, with the production settings of that film. Functions for a job with one
 * film work on it, with layouts that hold only this film's panels: see layoutsOnFilm in core/layout.
 */
export function jobOnFilm(job: Job, filmId: string): Job {
  if (!job.otherFilms) return job;
  const { otherFilms, ...first } = job;
  const other = otherFilms.find(({ id }) => id === filmId);
  if (!other) return first;
  const { laminate: _, production: __, ...rest } = first;
  const production = productionOnFilm(job, other);
  return {
    ...rest,
    film: other.film,
    ...(other.laminate && { laminate: other.laminate }),
    printer: other.printer,
    ...(production && { production }),
  };
}

function productionOnFilm(job: Job, { production: own }: OtherFilm): ProductionSettings | undefined {
  if (!job.production && !own) return undefined;
  const {
    film: _,
    laminate: __,
    worstCoveragePercent: ___,
    meanCoveragePercent: ____,
    laminateRolls: _____,
    laminateStart: ______,
    fill: _______,
    ...ofJob
  } = jobProductionSettings(job);
  return merged({ ...ofJob, overrides: [], rolls: [], locked: [] }, Object.entries(own ?? {}));
}

const isOfFilm = (key: string): boolean => key in FilmProductionSettings.shape;

/** The job with the printer of one of its films changed. */
export function jobWithPrinter(job: Job, filmId: string, change: Partial<Printer>): Job {
  if (!job.otherFilms?.some(({ id }) => id === filmId))
    return { ...job, printer: { ...job.printer, ...change } };
  const otherFilms = job.otherFilms.map((other) =>
    other.id === filmId ? { ...other, printer: { ...other.printer, ...change } } : other,
  );
  return { ...job, otherFilms };
}

/** The film of a side's panels unless they name another. */
export const sideFilmId = ({ filmId }: Pick<Side, 'filmId'>): string => filmId ?? FIRST_FILM_ID;

/**
 * The job with changed production settings, as `jobOnFilm` returns them: settings of the film are stored with the film,
 * the others with the job. `undefined` removes a setting.
 */
export function jobWithProduction(
  job: Job,
  filmId: string,
  change: { readonly [K in keyof ProductionSettings]?: ProductionSettings[K] | undefined },
): Pick<Job, 'production' | 'otherFilms'> {
  const { otherFilms: others = [] } = job;
  const isFirst = !others.some(({ id }) => id === filmId);
  const ofFilm = Object.entries(change).filter(([key]) => !isFirst && isOfFilm(key));
  const ofJob = Object.entries(change).filter(([key]) => isFirst || !isOfFilm(key));
  const production = merged(jobProductionSettings(job), ofJob);
  if (isFirst) return { production };
  const otherFilms = others.map((other) =>
    other.id === filmId ? { ...other, production: merged(other.production ?? {}, ofFilm) } : other,
  );
  return { production, otherFilms };
}

function merged<T extends object>(settings: T, changed: readonly (readonly [string, unknown])[]): T {
  const all = { ...settings, ...Object.fromEntries(changed) };
  return Object.fromEntries(Object.entries(all).filter(([, value]) => value !== undefined)) as T;
}

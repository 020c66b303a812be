/**
 * How a job is printed, dried, laminated and packed: its roll plan, its clock, its estimates. Derived from the job each
 * time; only the settings are stored. Of a job with several films each has a roll plan and a clock of its own.
 */
import type { z } from 'zod';
import { FIRST_FILM_ID, hasSeveralFilms, jobFilms, jobOnFilm } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import { layoutsOnFilm } from '../layout/film-layouts.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { layoutsPerUnit } from '../layout/unit-layouts.ts';
import { firstOf } from '../measure/present.ts';
import { listSchema } from '../measure/schemas.ts';
import type { SearchLook } from '../rolls/assignment-search.ts';
import { jobInstall } from '../seams/side-install.ts';
import type { PackItem } from '../shop/rolls.ts';
import { JobEstimates } from './estimate.ts';
import { estimatesTogether } from './estimates-together.ts';
import { type FilmPrinted, filmClocks } from './film-clock.ts';
import { FilmProduction, filmProduction } from './film-production.ts';
import type { MeasuredCoverage } from './job-coverage.ts';
import { jobStrips } from './job-strips.ts';

export const JobProduction = FilmProduction.extend({
  /** Of the films after the first, those that panels are printed on. */
  otherFilms: listSchema(FilmProduction).optional(),
  /** What all films of the job take together; absent where there is one. */
  together: JobEstimates.optional(),
});
export type JobProduction = z.infer<typeof JobProduction>;

/** What is printed with the panels on a film and is none. */
export interface OtherItems {
  readonly filmId: string;
  readonly items: readonly PackItem[];
}

/**
 * `measured`: the ink coverage as computed from the artwork, where it was. `look` is called with the progress of the
 * nesting, and may throw to cancel it.
 */
export function jobProduction(
  job: Job,
  layouts: readonly SideLayout[],
  measured?: MeasuredCoverage,
  look?: SearchLook,
  others?: OtherItems,
): JobProduction {
  const itemsOn = (filmId: string) => (others?.filmId === filmId ? { others: others.items } : {});
  if (!hasSeveralFilms(job))
    return filmProduction(job, FIRST_FILM_ID, layouts, { measured, look, ...itemsOn(FIRST_FILM_ID) });
  const printed = jobFilms(job)
    .map(({ id }) => ({ id, layouts: layoutsOnFilm(job, layouts, id) }))
    .filter((film) => film.id === FIRST_FILM_ID || film.layouts.length > 0);
  const made: FilmProduction[] = [];
  for (const [index, film] of printed.entries()) {
    const onFilm = jobFromPrintStart(jobOnFilm(job, film.id), job, film.id, made);
    const looked = look && ((share: number) => look((index + share) / printed.length));
    const options = { measured, look: looked, ...itemsOn(film.id) };
    const before = made.length === 0 ? {} : { before: counted(onFilm, made) };
    made.push({ ...filmProduction(onFilm, film.id, film.layouts, options), ...before });
  }
  const together = estimatesTogether(job, made, jobInstall(job, layoutsPerUnit(job, layouts)));
  return productionAsPrinted(job, withFilms({ ...firstOf(made), together }, made), () => undefined);
}

const withFilms = (production: JobProduction, films: readonly FilmProduction[]): JobProduction => {
  const [first, ...otherFilms] = films as [FilmProduction, ...FilmProduction[]];
  return { ...production, ...first, ...(production.together && { otherFilms }) };
};

/** The same with the clocks of films whose panels came off the printer, as `printedOf` tells of each. */
export function productionAsPrinted(
  job: Job,
  production: JobProduction,
  printedOf: (filmId: string) => FilmPrinted | undefined,
): JobProduction {
  const { otherFilms = [], together: _, ...first } = production;
  const films = [first, ...otherFilms];
  const clocks = filmClocks(
    job,
    films.map((made) => ({ made, printed: made.items.length > 0 ? printedOf(made.filmId) : undefined })),
  );
  return withFilms(
    production,
    films.map((film, index): FilmProduction => ({ ...film, clock: clocks[index] })),
  );
}

/** The films that something is printed on, in the order of the job; the first where that is none. */
export function filmProductions(production: JobProduction): readonly FilmProduction[] {
  const { otherFilms = [], together: _, ...first } = production;
  return first.items.length > 0 || otherFilms.length === 0 ? [first, ...otherFilms] : otherFilms;
}

/** Of each item on a roll. */
function counted(job: Job, made: readonly FilmProduction[]): NonNullable<FilmProduction['before']> {
  const sum = (of: (each: FilmProduction) => number) => made.reduce((total, each) => total + of(each), 0);
  return { rolls: sum(({ plan }) => plan.uses.length), strips: sum((each) => jobStrips(job, each).length) };
}

/** On one printer a film follows the one before it, unless somebody has said when it starts. */
function jobFromPrintStart(onFilm: Job, job: Job, filmId: string, made: readonly FilmProduction[]): Job {
  if (!onFilm.production || job.otherFilms?.find(({ id }) => id === filmId)?.production?.printStart)
    return onFilm;
  const printerOf = (id: string) => jobOnFilm(job, id).printer.name.trim().toLowerCase();
  const before = made.findLast(
    (each) => each.items.length > 0 && printerOf(each.filmId) === printerOf(filmId),
  );
  const printEnd = before?.clock?.printEnd;
  return printEnd === undefined
    ? onFilm
    : { ...onFilm, production: { ...onFilm.production, printStart: printEnd } };
}

/** Which jobs print on one film with one printer, and in words why others do not. */

import { z } from 'zod';
import { jobFilms, jobOnFilm, sideFilmId } from '../job/job-films.ts';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import { regionPanels } from '../job/region.ts';
import type { Job } from '../job/schema.ts';
import { lengthText } from '../measure/length-text.ts';
import { listText } from '../measure/list-text.ts';
import { pairsOf } from '../measure/pairs.ts';
import { firstOf } from '../measure/present.ts';

/** Which of its films lies on rolls that jobs share, by the id of each job. */
export const FilmsOfJobs = z.record(z.string(), z.string());
export type FilmsOfJobs = Readonly<Record<string, string>>;

/** Jobs whose panels can lie on the same rolls. */
export const FilmGroup = z.strictObject({
  /** What the film is called, with its width and the printer. */
  film: z.string(),
  jobIds: z.array(z.string()).min(1),
  numbers: z.array(z.string()),
  films: FilmsOfJobs,
});
export type FilmGroup = z.infer<typeof FilmGroup>;

/** One thing in which jobs on the same rolls must agree. */
interface Facet {
  readonly word: string;
  readonly value: string | number;
  readonly text: string;
}

export const filmName = (job: Job): string => (jobProductionSettings(job).film ?? job.film).name;

/**
 * A roll stands in one printer: jobs that are laid together have its film, and its margins, longest print and feed,
 * because the files of each job are sent by them. Lengths are said in `unit`.
 */
function facetsOf(job: Job, unit: Job['displayUnit']): readonly Facet[] {
  const { name, kind } = jobProductionSettings(job).film ?? job.film;
  const { printer } = job;
  const length = (word: string, mm: number): Facet => ({ word, value: mm, text: lengthText(mm, unit) });
  const words = (word: string, text: string): Facet => ({ word, value: text.trim().toLowerCase(), text });
  return [
    words('film', name),
    words('kind of film', kind.replaceAll('-', ' ')),
    length('roll width', printer.rollWidthMm),
    length('left margin', printer.marginLeftMm),
    length('right margin', printer.marginRightMm),
    words('printer', printer.name),
    length('longest print', printer.longestPrintMm),
    { word: 'feed error', value: printer.feedErrorPercent, text: `${printer.feedErrorPercent} %` },
  ];
}

const keyOf = (job: Job): string => JSON.stringify(facetsOf(job, 'mm').map(({ value }) => value));

/** In the order in which the jobs are given; a job with several films is in the group of each. */
export const filmGroups = (jobs: readonly Job[]): readonly FilmGroup[] =>
  [...Map.groupBy(jobs.flatMap(jobsOnFilms), ({ job }) => keyOf(job)).values()].map((found) => {
    // Two films of a job that agree in all this: the first.
    const group = firstOfEach(found);
    const { job: first } = firstOf(group);
    const { displayUnit, printer } = first;
    return {
      film: `${filmName(first)}, ${lengthText(printer.rollWidthMm, displayUnit)} wide, ${printer.name}`,
      jobIds: group.map(({ job }) => job.id),
      numbers: group.map(({ job }) => job.number),
      films: Object.fromEntries(group.map(({ job, filmId }) => [job.id, filmId])),
    };
  });

interface JobOnFilm {
  readonly job: Job;
  readonly filmId: string;
}

/** As if each film that a panel is printed on were the only one. */
const jobsOnFilms = (job: Job): JobOnFilm[] =>
  usedFilmIds(job).map((filmId) => ({ job: jobOnFilm(job, filmId), filmId }));

const firstOfEach = (group: readonly JobOnFilm[]): JobOnFilm[] =>
  group.filter(({ job }, index) => index === group.findIndex((each) => each.job.id === job.id));

function usedFilmIds(job: Job): string[] {
  const used = new Set(
    job.sides.flatMap((side) => [
      ...regionPanels(side.layout).map(({ filmId }) => filmId ?? sideFilmId(side)),
      ...side.noFilmAreas.flatMap(({ windowFilm }) => windowFilm?.filmId ?? []),
    ]),
  );
  const ids = jobFilms(job).map(({ id }) => id);
  return used.size === 0 ? ids.slice(0, 1) : ids.filter((id) => used.has(id));
}

/** Each film that all jobs print on. */
export function sharedFilms(jobs: readonly Job[]): readonly FilmsOfJobs[] {
  const ids = new Set(jobs.map(({ id }) => id));
  return filmGroups(jobs).flatMap(({ jobIds, films }) => (jobIds.length === ids.size ? [films] : []));
}

/** A sentence for each film after the first: which jobs cannot share rolls with the first ones, and in what they differ. */
export function filmsApart(jobs: readonly Job[]): readonly string[] {
  if (sharedFilms(jobs).length > 0) return [];
  const onFirst = jobs.map((job) => firstOf(jobsOnFilms(job)).job);
  const [first, ...others] = Map.groupBy(onFirst, keyOf).values();
  if (!first) return [];
  const { displayUnit } = firstOf(first);
  const wanted = facetsOf(firstOf(first), displayUnit);
  return others.map((group) => {
    const differences = pairsOf(facetsOf(firstOf(group), displayUnit), wanted).flatMap(([is, should]) =>
      is.value === should.value ? [] : [`${is.word} ${is.text} instead of ${should.text}`],
    );
    const [these, those] = [numbersOf(group), numbersOf(first)];
    return `${group.length === 1 ? 'Job' : 'Jobs'} ${these} cannot share rolls with ${those}: ${differences.join(', ')}.`;
  });
}

const numbersOf = (jobs: readonly Job[]): string => listText(jobs.map(({ number }) => number));

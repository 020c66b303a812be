import { type Finding, finding, type Place } from '../../findings/finding.ts';
import { filmBase } from '../../job/film-base.ts';
import { hasSeveralFilms, jobFilms, jobOnFilm } from '../../job/job-films.ts';
import type { Job } from '../../job/schema.ts';
import { listText } from '../../measure/list-text.ts';
import type { PageCheck } from '../check-context.ts';
import { usedSpots } from './spot-findings.ts';

const WITHOUT_WHITE = {
  white: '',
  clear: ': without white, what lies behind shows through the colors',
  colored: ': without white, the film tints the colors',
} as const;

/** WHT1: artwork printed on film that is not white needs a white plate, as a spot ink in the artwork. Keeps WHT1. */
export function whitePlateFindings(checks: readonly PageCheck[]): Finding[] {
  const job = checks[0]?.job;
  if (!job) return [];
  if (!hasSeveralFilms(job)) return filmFindings(job, checks, {});
  return jobFilms(job).flatMap(({ id }) =>
    filmFindings(jobOnFilm(job, id), checksOfFilm(checks, id), { filmId: id }),
  );
}

const checksOfFilm = (checks: readonly PageCheck[], filmId: string): PageCheck[] =>
  checks.flatMap((check) => {
    const sides = check.sides.filter(({ layout }) => layout.panels.some((panel) => panel.filmId === filmId));
    return sides.length > 0 ? [{ ...check, sides }] : [];
  });

function filmFindings(job: Job, checks: readonly PageCheck[], where: Place): Finding[] {
  const base = filmBase(job);
  if (checks.length === 0) return [];
  const { name, whitePlate } = job.film;
  if (base === 'white' && whitePlate === undefined) return [];
  const spots = usedSpots(checks).map((spot) => spot.name);
  if (whitePlate !== undefined && spots.includes(whitePlate)) return [];
  const known = spots.length > 0 ? ` The sides use ${listText(spots)}.` : ' The sides use no spot ink.';
  return [
    finding(
      'white-plate-missing',
      'warn',
      where,
      whitePlate === undefined
        ? `The film “${name}” is ${base}, and no spot ink is selected as its white plate${WITHOUT_WHITE[base]}.${known}`
        : `The white plate “${whitePlate}” is not in the artwork${WITHOUT_WHITE[base]}.${known}`,
      'Ask for a white plate as a spot ink and select it at the film of the job; acknowledge this where none is wanted.',
    ),
  ];
}

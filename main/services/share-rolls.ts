/** Several jobs on the rolls of one film: which go together, how they are nested, and the sheet of it. */
import type { ContractReply } from '../../core/contract/contract.ts';
import { jobFilm } from '../../core/job/job-films.ts';
import type { Job } from '../../core/job/schema.ts';
import { firstOf } from '../../core/measure/present.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { fileNameStem } from '../../core/output/file-name.ts';
import { type FilmsOfJobs, filmGroups, filmsApart, sharedFilms } from '../../core/production/shared-film.ts';
import type { SharedRolls } from '../../core/production/shared-rolls.ts';
import { writeOwnDocument } from '../files/own-document.ts';
import { sha256Hex } from '../files/sha256.ts';
import type { SharedPlanRequest } from '../tasks/shared-roll-plan.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

type Planning = Pick<ActParts, 'planning'>;

export async function shareRolls(
  { planning }: Planning,
  request: SharedPlanRequest,
  tools: TaskTools,
): Promise<Result<SharedRolls>> {
  return await planning.run('sharedRolls', request, tools);
}

/** On each film that the jobs have in common. */
export async function shareRollsOfFilms(
  { planning }: Planning,
  request: SharedPlanRequest,
  tools: TaskTools,
): Promise<Result<readonly SharedRolls[]>> {
  return await planning.run('sharedRollsOfFilms', request, tools);
}

/** An earlier roll plan of that name gives way, and nothing else. */
export async function writeRollPlan(
  { planning }: Planning,
  request: SharedPlanRequest,
  path: string,
  tools: TaskTools,
): Promise<Result<readonly SharedRolls[]>> {
  const made = await planning.run('sharedRollSheet', request, tools);
  if (!made.ok) return made;
  const written = await writeOwnDocument(path, made.value.bytes);
  return written.ok ? resultOk(made.value.films) : written;
}

export const jobsByFilm = (jobs: readonly Job[]): ContractReply<'rolls:films'> => ({
  groups: [...filmGroups(jobs)],
  apart: [...filmsApart(jobs)],
});

const MOST_NAMED = 4;

/**
 * `nesting_VAN-17_VAN-18.pdf`; of many jobs the first two, the count of the others, and a code that tells them from
 * other sets of jobs. Of one of several films that they share, with the letter that it has in the first job.
 */
export function rollPlanName(jobs: readonly Job[], films?: FilmsOfJobs): string {
  const first = firstOf(jobs);
  const filmId = sharedFilms(jobs).length > 1 ? films?.[first.id] : undefined;
  const letter = filmId === undefined ? [] : [`film-${jobFilm(first, filmId).letter}`];
  const stem = (numbers: readonly string[]) => fileNameStem(['nesting', ...numbers, ...letter].join('_'));
  const numbers = jobs.map(({ number }) => number);
  if (numbers.length <= MOST_NAMED && numbers.join('_').length <= 40) return `${stem(numbers)}.pdf`;
  const ids = sha256Hex(new TextEncoder().encode(jobs.map(({ id }) => id).join('\n')));
  return `${stem(numbers.slice(0, 2))}_and-${numbers.length - 2}-more_${ids.slice(0, 8)}.pdf`;
}

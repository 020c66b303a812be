import { filmSet, jobSet, layoutReplace } from '../job/edits/edits.ts';
import { jobFilm, sideFilmId } from '../job/job-films.ts';
import type { Job, Region } from '../job/schema.ts';
import { outputSizeHolding } from '../layout/output-size.ts';
import { jobLayout } from '../layout/side-layout.ts';
import { foundIn } from '../measure/present.ts';
import type { Problem, Result } from '../measure/result.ts';
import type { Mm } from '../measure/units.ts';

/**
 * The job with a plan's layout on a side. Where the plan was made for another film, that film replaces the one in the
 * printer: on the old film its panels would be too wide or waste film. Panel pages that could not hold its panels get a
 * smaller scale.
 */
export function planTaken(
  job: Job,
  sideId: string,
  { layout, rollWidthMm }: { readonly layout: Region; readonly rollWidthMm: Mm },
): Result<Job, Problem> {
  const replaced = layoutReplace(job, { sideId, layout });
  if (!replaced.ok) return replaced;
  const { output } = replaced.value;
  const filmId = sideFilmId(foundIn(replaced.value.sides, ({ id }) => id === sideId));
  const { printer } = jobFilm(replaced.value, filmId);
  const films = jobLayout(replaced.value).flatMap(({ panels }) => panels.map(({ film }) => film));
  const longest = films.reduce((most, { width, height }) => Math.max(most, width, height), 0);
  const size = outputSizeHolding(output.size, longest);
  if (rollWidthMm === printer.rollWidthMm && size === output.size) return replaced;
  const onRoll = filmSet(replaced.value, { filmId, change: { printer: { ...printer, rollWidthMm } } });
  return onRoll.ok ? jobSet(onRoll.value, { change: { output: { ...output, size } } }) : onRoll;
}

/** Prints the glass of a window, or leaves it bare. */

import { lastOf } from '../../measure/present.ts';
import { resultOk } from '../../measure/result.ts';
import { jobFilms } from '../job-films.ts';
import type { Job, WindowFilm } from '../schema.ts';
import { defaultWindowFilm, perforatedFilms } from '../window-film.ts';
import { type EditResult, editProblem } from './edit.ts';
import { filmAdd, filmSet } from './film-edits.ts';
import { itemSet } from './item-edits.ts';

interface WindowOfSide {
  readonly sideId: string;
  readonly areaId: string;
}

/**
 * Adds a panel for the glass of a window, on the perforated film of the job. A job without one gets a further film,
 * whose figures are set afterward.
 */
export function windowPrint(job: Job, { sideId, areaId }: WindowOfSide): EditResult {
  const [film] = perforatedFilms(job);
  const ready = film ? resultOk(job) : perforatedFilmAdd(job);
  if (!ready.ok) return ready;
  const { id } = film ?? lastOf(jobFilms(ready.value));
  return windowFilmSet(ready.value, { sideId, areaId, windowFilm: defaultWindowFilm(job, id) });
}

/** Sets how the glass of a window is printed; `null` leaves it bare. */
export function windowFilmSet(
  job: Job,
  { sideId, areaId, windowFilm }: WindowOfSide & { readonly windowFilm: WindowFilm | null },
): EditResult {
  const area = job.sides.find(({ id }) => id === sideId)?.noFilmAreas.find(({ id }) => id === areaId);
  if (windowFilm && area && area.kind !== 'window') {
    return editProblem('window-kind', `“${area.name}” is no window.`, 'Set its kind to window first.');
  }
  return itemSet(job, {
    sideId,
    itemId: areaId,
    list: 'noFilmAreas',
    change: { windowFilm: windowFilm ?? undefined },
  });
}

function perforatedFilmAdd(job: Job): EditResult {
  const added = filmAdd(job);
  if (!added.ok) return added;
  const { id, film } = lastOf(jobFilms(added.value));
  const { base: _, whitePlate: __, mirror: ___, ...plain } = film;
  return filmSet(added.value, {
    filmId: id,
    change: {
      film: { ...plain, name: 'Perforated film', kind: 'calendered-polymeric', finish: '', perforated: true },
      laminate: {
        name: 'Clear laminate',
        kind: 'cast',
        finish: 'gloss',
        lotNumber: '',
        opticallyClear: true,
      },
    },
  });
}

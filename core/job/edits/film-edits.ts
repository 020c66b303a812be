/** The films of a job, and which side and panel uses which. */

import { lastOf } from '../../measure/present.ts';
import { resultOk } from '../../measure/result.ts';
import { freshIds } from '../fresh-id.ts';
import { FIRST_FILM_ID, jobFilm, jobFilms, sideFilmId } from '../job-films.ts';
import { regionPanels, regionWithPanels } from '../region.ts';
import {
  type Job,
  MAX_OTHER_FILMS,
  type NoFilmArea,
  type OtherFilm,
  type PanelRegion,
  type Side,
} from '../schema.ts';
import { windowPanelId } from '../window-film.ts';
import { type EditResult, editFinished, editProblem, panelUnknown, sideEdited } from './edit.ts';
import { jobSet } from './job-edits.ts';

/** A further film, with the laminate and printer of the first one; differences are set afterward. */
export function filmAdd(job: Job, { id }: { readonly id?: string } = {}): EditResult {
  const { otherFilms = [], film, laminate, printer } = job;
  if (otherFilms.length >= MAX_OTHER_FILMS) {
    return editProblem(
      'films-too-many',
      `The job has ${otherFilms.length + 1} films, which is the most that a job can hold.`,
      'Remove a film that no panel is printed on.',
    );
  }
  const { letter } = lastOf(jobFilms({ ...job, otherFilms: [...otherFilms, { id: '', film, printer }] }));
  const added: OtherFilm = {
    id: id ?? freshIds(job)('f'),
    film: { ...film, name: `Film ${letter}`, lotNumber: '' },
    ...(laminate && { laminate: { ...laminate, lotNumber: '' } }),
    printer,
  };
  return editFinished(job, { ...job, otherFilms: [...otherFilms, added] });
}

export interface FilmChange extends Partial<Pick<OtherFilm, 'film' | 'printer'>> {
  /** `null` means no laminate. */
  readonly laminate?: OtherFilm['laminate'] | null;
}

/** Changes one of the films of the job, its laminate or its printer. */
export function filmSet(
  job: Job,
  { filmId, change }: { readonly filmId: string; readonly change: FilmChange },
): EditResult {
  if (filmId === FIRST_FILM_ID) return jobSet(job, { change });
  if (!isFilmKnown(job, filmId)) return filmUnknown(filmId);
  const otherFilms = job.otherFilms?.map((other) =>
    other.id === filmId ? filmChanged(other, change) : other,
  );
  return editFinished(job, { ...job, ...(otherFilms && { otherFilms }) });
}

function filmChanged({ laminate: before, ...other }: OtherFilm, { laminate: given, ...change }: FilmChange) {
  const laminate = given === undefined ? before : (given ?? undefined);
  return { ...other, ...change, ...(laminate && { laminate }) };
}

/** Removes a further film; sides and panels on it go back to the first film. */
export function filmRemove(job: Job, { filmId }: { readonly filmId: string }): EditResult {
  const { otherFilms = [], ...rest } = job;
  const left = otherFilms.filter(({ id }) => id !== filmId);
  if (left.length === otherFilms.length) return filmUnknown(filmId);
  const sides = job.sides.map((side) => {
    const onFirst = windowsOnFilm(
      sideFilmId(side) === filmId ? sideWithFilm(side, FIRST_FILM_ID) : side,
      FIRST_FILM_ID,
      ({ windowFilm }) => windowFilm?.filmId === filmId,
    );
    return panelsOnFilm(onFirst, (panel) => (panel.filmId === filmId ? FIRST_FILM_ID : panel.filmId));
  });
  return editFinished(job, { ...rest, sides, ...(left.length > 0 && { otherFilms: left }) });
}

/** Sets the film of all panels of a side. */
export function sideFilmSet(
  job: Job,
  { sideId, filmId }: { readonly sideId: string; readonly filmId: string },
): EditResult {
  if (!isFilmKnown(job, filmId)) return filmUnknown(filmId);
  return sideEdited(job, sideId, ({ side }) =>
    resultOk(panelsOnFilm(sideWithFilm(side, filmId), () => undefined)),
  );
}

/** Sets the film of some panels of a side. */
export function panelsFilmSet(
  job: Job,
  { sideId, panelIds, filmId }: { sideId: string; panelIds: readonly string[]; filmId: string },
): EditResult {
  if (!isFilmKnown(job, filmId)) return filmUnknown(filmId);
  return sideEdited(job, sideId, ({ side }) => {
    const onGlass = side.noFilmAreas
      .filter(({ windowFilm }) => windowFilm)
      .map(({ id }) => windowPanelId(id));
    const known = new Set([...regionPanels(side.layout).map(({ id }) => id), ...onGlass]);
    const unknown = panelIds.find((panelId) => !known.has(panelId));
    if (unknown !== undefined) return panelUnknown(side, unknown);
    const windowed = windowsOnFilm(side, filmId, ({ id }) => panelIds.includes(windowPanelId(id)));
    return resultOk(panelsOnFilm(windowed, (panel) => (panelIds.includes(panel.id) ? filmId : panel.filmId)));
  });
}

const sideWithFilm = ({ filmId: _, ...side }: Side, filmId: string): Side =>
  filmId === FIRST_FILM_ID ? side : { ...side, filmId };

const windowsOnFilm = (side: Side, filmId: string, isMeant: (area: NoFilmArea) => boolean): Side => ({
  ...side,
  noFilmAreas: side.noFilmAreas.map((area) =>
    area.windowFilm && isMeant(area) ? { ...area, windowFilm: { ...area.windowFilm, filmId } } : area,
  ),
});

/** A panel names its film only where it differs from the film of its side. */
const panelsOnFilm = (side: Side, filmOf: (panel: PanelRegion) => string | undefined): Side => ({
  ...side,
  layout: regionWithPanels(side.layout, (panel) => {
    const { filmId: _, ...rest } = panel;
    const filmId = filmOf(panel);
    return filmId === undefined || filmId === sideFilmId(side) ? rest : { ...rest, filmId };
  }),
});

const isFilmKnown = (job: Job, filmId: string): boolean => jobFilm(job, filmId).id === filmId;

const filmUnknown = (filmId: string) =>
  editProblem('film-unknown', `The job has no film “${filmId}”.`, 'Select a film of this job.');

import { hasSeveralFilms } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import type { SideLayout } from './side-layout.ts';

/**
 * The sides with the panels that one film has: with `jobOnFilm` they are what is fitted, nested, dried and estimated for
 * that film. Of a job with one film, all sides as they are.
 */
export function layoutsOnFilm(
  job: Job,
  layouts: readonly SideLayout[],
  filmId: string,
): readonly SideLayout[] {
  if (!hasSeveralFilms(job)) return layouts;
  return layouts.flatMap((layout) => {
    const panels = layout.panels.filter((panel) => panel.filmId === filmId);
    return panels.length > 0 ? [{ ...layout, panels }] : [];
  });
}

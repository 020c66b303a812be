import { hasSeveralFilms } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import type { SideLayout } from './side-layout.ts';

/**
 * The sides with only the panels of one film. Together with `jobOnFilm` they are used to fit, nest, dry and estimate
 * that film. In a job with one film, all sides unchanged.
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

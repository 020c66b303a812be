import { EDGES } from '../measure/rect.ts';
import { doorLineId } from './door.ts';
import type { Job, Region } from './schema.ts';
import { windowPanelId } from './window-film.ts';

/**
 * Every id of sides, panels, seams, lines, areas, no-film areas, doors with their edges, guide lines and further films
 * in a job.
 */
export function jobIds(job: Pick<Job, 'sides' | 'otherFilms'>): string[] {
  const ids = (job.otherFilms ?? []).map(({ id }) => id);
  for (const side of job.sides) {
    ids.push(side.id);
    for (const items of [
      side.bodyLines,
      side.noSeamAreas,
      side.ground,
      side.noFilmAreas,
      side.guides ?? [],
    ]) {
      for (const { id } of items) ids.push(id);
    }
    for (const { id, windowFilm } of side.noFilmAreas) if (windowFilm) ids.push(windowPanelId(id));
    for (const { id } of side.doors ?? []) ids.push(id, ...EDGES.map((edge) => doorLineId(id, edge)));
    addRegionIds(side.layout, ids);
  }
  return ids;
}

function addRegionIds(region: Region, ids: string[]): void {
  if (region.kind === 'panel') {
    ids.push(region.id);
    return;
  }
  for (const { id } of region.joints) ids.push(id);
  for (const part of region.parts) addRegionIds(part, ids);
}

/** What each tool that draws an area adds to a side. */
import { type AreaShape, areaFromPoints } from '../../core/job/area-shape.ts';
import { doorGapFromPoints, doorNew } from '../../core/job/door.ts';
import { type EditResult, itemAdd } from '../../core/job/edits/edits.ts';
import { jobAllowances } from '../../core/job/joint-default.ts';
import type { Job } from '../../core/job/schema.ts';
import type { Point } from '../../core/measure/rect.ts';
import type { Tool } from './bench-state.ts';

export const AREA_TOOLS = {
  'no-seam-area': { list: 'noSeamAreas', name: 'No-seam area', label: 'Draw a no-seam area' },
  ground: { list: 'ground', name: 'Difficult ground', label: 'Draw difficult ground' },
  'no-film-area': { list: 'noFilmAreas', name: 'No-film area', label: 'Draw a no-film area' },
  door: { list: 'doors', name: 'Door', label: 'Draw a door' },
} as const;

export type AreaTool = keyof typeof AREA_TOOLS;

export const isAreaTool = (candidate: Tool): candidate is AreaTool => candidate in AREA_TOOLS;

/** Adds what the tool draws, with these corners. */
export function areaAdded(
  now: Job,
  kind: AreaTool,
  sideId: string,
  points: readonly Point<'finished'>[],
): EditResult {
  const shared: AreaShape & { readonly name: string } = {
    name: AREA_TOOLS[kind].name,
    ...areaFromPoints(points),
  };
  switch (kind) {
    case 'no-seam-area':
      return itemAdd(now, { sideId, list: 'noSeamAreas', item: shared });
    case 'ground':
      return itemAdd(now, { sideId, list: 'ground', item: { ...shared, kind: 'recess' } });
    case 'no-film-area':
      return itemAdd(now, {
        sideId,
        list: 'noFilmAreas',
        item: { ...shared, kind: 'window', clearanceMm: jobAllowances(now).clearanceMm },
      });
    case 'door': {
      const front = now.sides.find(({ id }) => id === sideId)?.front ?? 'none';
      return itemAdd(now, { sideId, list: 'doors', item: doorNew(doorGapFromPoints(points), { front }) });
    }
  }
}

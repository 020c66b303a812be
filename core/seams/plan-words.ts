/** Texts of the planner, in the job's unit. */
import { sideLines } from '../job/door.ts';
import type { Side } from '../job/schema.ts';
import { lengthText } from '../measure/length-text.ts';
import type { Mm } from '../measure/units.ts';
import type { PlanAim } from './plan-objective.ts';
import type { Relaxation } from './plan-relaxations.ts';

export const AIM_NAMES: Readonly<Record<PlanAim | 'equal-vertical', string>> = {
  'lowest-cost': 'Lowest cost',
  'least-lettering': 'Least lettering crossed',
  'fewest-panels': 'Fewest panels',
  'least-film': 'Least film',
  'fastest-install': 'Fastest to install',
  'fewest-shop-trims': 'Fewest shop trims',
  'best-hidden': 'Best hidden',
  'equal-vertical': 'Equal vertical panels',
};

/** Shown with layouts of a side that has no artwork. */
export const NOT_KNOWN_WITHOUT_ARTWORK =
  'There is no artwork of this side yet, so these layouts know the vehicle and the film only: where lettering and pictures lie, what matching them takes, and the ink are not known. Suggest again once the artwork is there.';

/** One sentence on how a limit could be relaxed so that the side can be planned. */
export function relaxationText(
  relaxation: Relaxation,
  side: Pick<Side, 'noSeamAreas' | 'noFilmAreas' | 'bodyLines' | 'doors'>,
  unit: 'mm' | 'in',
): string {
  const { limit, by, to, itemId, lockedIndex } = relaxation;
  const length = (mm: Mm | undefined) => (mm === undefined ? '' : lengthText(mm, unit));
  const name = itemId === undefined ? undefined : itemName(side, itemId);
  switch (limit) {
    case 'printable-width':
      return `Film that prints ${length(by)} wider, ${length(to)} in all.`;
    case 'longest-print':
      return `A longest print of ${length(to)}, ${length(by)} more than now.`;
    case 'longest-panel':
      return `Panels of up to ${length(to)} along the side, ${length(by)} more than the crew’s longest now.`;
    case 'rivet-row':
      return `Film edges ${length(by)} nearer to the rivet heads.`;
    case 'smallest-panel':
      return `Panels down to ${length(to)}, ${length(by)} smaller than the shop’s limit.`;
    case 'lap':
      return `Overlaps of ${length(to)}, ${length(by)} less than now.`;
    case 'border':
      return `A border of ${length(to)}, ${length(by)} less than now.`;
    case 'no-seam-area':
      if (name === undefined) return 'Seams through the no-seam areas.';
      if (by === undefined) return `A seam through the no-seam area “${name}”.`;
      return `A seam that comes ${length(by)} into the no-seam area “${name}”.`;
    case 'no-film-clearance':
      return by === undefined
        ? 'Seams along the edges of the no-film areas.'
        : `Seams ${length(by)} nearer to the no-film areas${to === undefined ? '' : `, ${length(to)} from them`}.`;
    case 'body-gap':
      return `Panels that extend past a body gap by ${length(to)}, ${length(by)} less than now.`;
    case 'film-edge':
      return 'Other seams where films meet, or all panels of the side on its film.';
    case 'locked-seam': {
      const which = lockedIndex === undefined ? 'the locked seams' : `locked seam ${lockedIndex + 1}`;
      return by === undefined ? `Unlocking ${which}.` : `Moving ${which} by ${length(by)}.`;
    }
  }
}

function itemName(
  side: Pick<Side, 'noSeamAreas' | 'noFilmAreas' | 'bodyLines' | 'doors'>,
  id: string,
): string {
  const items = [...side.noSeamAreas, ...side.noFilmAreas, ...sideLines(side)];
  return items.find((item) => item.id === id)?.name ?? id;
}

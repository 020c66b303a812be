/** What must stay free of film, and items that were put in the wrong place. */

import { rectAcross } from '../../job/region.ts';
import type { NoFilmKind } from '../../job/schema.ts';
import { rectFromStored } from '../../job/stored-rect.ts';
import { rectIntersection } from '../../measure/rect.ts';
import { type Finding, finding } from '../finding.ts';
import type { SideContext } from './finding-context.ts';

/**
 * Why a no-film area of this kind stays free. Common practice, no source: the film's data sheet, the vehicle
 * maker and local law decide.
 */
const MUST_STAY_FREE: Readonly<Partial<Record<NoFilmKind, string>>> = {
  sensor: 'driver-assistance sensors and cameras do not work through film',
  lamp: 'film on a lamp dims it and may break the law',
  reflector: 'reflectors and conspicuity markings are safety equipment',
  'license-plate': 'license, weight and hazard plates must be readable',
  'fuel-flap': 'the fuel or charge flap must open, and its labels must be readable',
  vent: 'covered vents overheat what is behind them',
  handle: 'handles must work, and film on them is soon worn off',
  'emergency-exit': 'an emergency exit and its signs must be recognized and must open',
};

export function noFilmAreaFindings(context: SideContext): Finding[] {
  return [...cautionFindings(context), ...strayFindings(context)];
}

function cautionFindings({ side }: SideContext): Finding[] {
  return side.noFilmAreas.flatMap((noFilmArea) => {
    const reason = MUST_STAY_FREE[noFilmArea.kind];
    if (!reason) return [];
    return [
      finding(
        'no-film-area-cut-out',
        'note',
        { sideId: side.id, itemId: noFilmArea.id, area: rectFromStored<'finished'>(noFilmArea.rect) },
        `The ${noFilmArea.kind.replace('-', ' ')} “${noFilmArea.name}” on side ${side.code} must have no film: ${reason}.`,
        'Cut the film back around it on the vehicle, by the film data sheet, the vehicle maker and local law.',
      ),
    ];
  });
}

/** An item that touches nothing of the side was measured from the wrong edge or left from another side. */
function strayFindings({ side, layout }: SideContext): Finding[] {
  const areas = [...side.noSeamAreas, ...side.ground, ...side.noFilmAreas].filter(
    ({ rect }) => !rectIntersection(rectFromStored<'finished'>(rect), layout.outline),
  );
  const lines = side.bodyLines.filter(({ direction, atMm }) => {
    const across = rectAcross(layout.outline, direction);
    return atMm < across.start || atMm > across.end;
  });
  return [...areas, ...lines].map(({ id, name }) =>
    finding(
      'item-outside-side',
      'warn',
      { sideId: side.id, itemId: id },
      `“${name}” lies wholly outside side ${side.code}, so no check sees it.`,
      'Move it onto the side, or remove it.',
    ),
  );
}

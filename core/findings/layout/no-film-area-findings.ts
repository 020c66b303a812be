/** Areas that must stay free of film, and items in the wrong place. */

import { areaPoints } from '../../job/area-shape.ts';
import { bodyLineSpan } from '../../job/body-line.ts';
import { doorOutline } from '../../job/door.ts';
import { linePath } from '../../job/line-path.ts';
import { NO_FILM_ACTS } from '../../job/no-film-acts.ts';
import { rectAcross } from '../../job/region.ts';
import type { NoFilmKind } from '../../job/schema.ts';
import { rectFromStored } from '../../job/stored-rect.ts';
import { listText } from '../../measure/list-text.ts';
import { isPolygonOverlapping } from '../../measure/outline.ts';
import { pathRange } from '../../measure/path.ts';
import { rectIntersection, rectPoints } from '../../measure/rect.ts';
import { type Finding, finding, withFigure } from '../finding.ts';
import type { SideContext } from './finding-context.ts';

/**
 * Why a no-film area of this kind must stay free of film. Common practice, no source: the film's data sheet, the
 * vehicle maker and local law decide.
 */
const MUST_STAY_FREE: Readonly<Partial<Record<NoFilmKind, string>>> = {
  sensor: 'driver-assistance sensors and cameras do not work through film',
  lamp: 'film on a lamp dims it and may break the law',
  reflector: 'reflectors and reflective markings are safety equipment',
  'license-plate': 'license, weight and hazard plates must be readable',
  'fuel-flap': 'the fuel or charge flap must open, and its labels must be readable',
  vent: 'covered vents overheat what is behind them',
  handle: 'handles must work, and film on them is soon worn off',
  'emergency-exit': 'an emergency exit and its signs must be recognized and must open',
};

export function noFilmAreaFindings(context: SideContext): Finding[] {
  return [...cautionFindings(context), ...coveredMarkingFindings(context), ...strayFindings(context)];
}

/** Keeps OP1. */
function cautionFindings({ side }: SideContext): Finding[] {
  return side.noFilmAreas.flatMap((noFilmArea) => {
    const reason = MUST_STAY_FREE[noFilmArea.kind];
    if (!reason) return [];
    return [
      finding(
        'no-film-area-act',
        'note',
        { sideId: side.id, itemId: noFilmArea.id, area: rectFromStored<'finished'>(noFilmArea.rect) },
        `The ${noFilmArea.kind.replace('-', ' ')} “${noFilmArea.name}” on side ${side.code} must have no film (${NO_FILM_ACTS[noFilmArea.kind].act} on the map): ${reason}.`,
        'The crew does on the vehicle what the map says, by the film data sheet, the vehicle maker and local law.',
      ),
    ];
  });
}

/**
 * Why no film may lie on any part of a marking. FMVSS 108 as NHTSA reads it (interpretation 15732.ztv) and 49 CFR 393.13
 * for the tape, 49 CFR 390.21 for name and USDOT number.
 */
const MARKING_RULES: Readonly<Partial<Record<NoFilmKind, { readonly name: string; readonly why: string }>>> =
  {
    'dot-tape': {
      name: 'DOT reflective tape',
      why: 'film over any part of it breaks the rule for the trailer (United States: FMVSS 108, 49 CFR 393.13; elsewhere the local rule)',
    },
    'legal-marking': {
      name: 'legal marking',
      why: 'name and USDOT number must stay readable from 50 ft by day (United States: 49 CFR 390.21; elsewhere the local rule)',
    },
  };

/** Panels are printed across what must stay bare, so only the crew can keep film off it. Keeps CK3. */
function coveredMarkingFindings({ side, layout }: SideContext): Finding[] {
  return side.noFilmAreas.flatMap((noFilmArea) => {
    const rule = MARKING_RULES[noFilmArea.kind];
    const area = rectFromStored<'finished'>(noFilmArea.rect);
    const over = layout.panels.filter(
      ({ printed }) =>
        rectIntersection(printed, area) && isPolygonOverlapping(areaPoints(noFilmArea), rectPoints(printed)),
    );
    if (!rule || over.length === 0) return [];
    const labels = over.map(({ label }) => label);
    return [
      withFigure(
        over.length,
        finding(
          'marking-covered',
          'warn',
          { sideId: side.id, itemId: noFilmArea.id, area },
          `Artwork on ${listText(labels)} runs over the ${rule.name} “${noFilmArea.name}” of side ${side.code}: ${rule.why}.`,
          'End the artwork clear of it, or acknowledge that the crew cuts the film back and leaves all of it bare.',
        ),
      ),
    ];
  });
}

/** An item that is nowhere on its side was measured from the wrong edge, or is a leftover from another side. */
function strayFindings({ side, layout }: SideContext): Finding[] {
  const areas = [...side.noSeamAreas, ...side.ground, ...side.noFilmAreas].filter(
    ({ rect }) => !rectIntersection(rectFromStored<'finished'>(rect), layout.outline),
  );
  const doors = (side.doors ?? []).filter((door) => {
    const place = doorOutline(door);
    return !(place && rectIntersection(place.rect, layout.outline));
  });
  const lines = side.bodyLines.filter((line) => {
    const across = rectAcross(layout.outline, line.direction);
    const { start, end } = pathRange(linePath(line), bodyLineSpan(line, layout.outline));
    return end < across.start || start > across.end;
  });
  return [...areas, ...doors, ...lines].map(({ id, name }) =>
    finding(
      'item-outside-side',
      'warn',
      { sideId: side.id, itemId: id },
      `“${name}” lies wholly outside side ${side.code}, so no check sees it.`,
      'Move it onto the side, or remove it.',
    ),
  );
}

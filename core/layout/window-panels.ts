/**
 * Windows that are printed: each has one panel on its glass, on perforated film, cut from the same artwork. The film on
 * the body stops at the seal; the film on the glass ends inside it.
 *
 *     ┌ no-film area: up to the seal ──────┐
 *     │ ┌ net: `sealMm` inside it ───────┐ │   printed = net + bleed, trimmed off on the glass
 *     │ └────────────────────────────────┘ │
 *     └────────────────────────────────────┘
 */
import { areaPoints } from '../job/area-shape.ts';
import type { NoFilmArea, Side, WindowFilm } from '../job/schema.ts';
import { windowPanelId } from '../job/window-film.ts';
import { pointsHull, polygonArea } from '../measure/outline.ts';
import { polygonInset } from '../measure/polygon-inset.ts';
import {
  edgeLengthsAll,
  type Point,
  type Rect,
  rectExcess,
  rectGrown,
  rectIntersection,
} from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { Panel } from './panel.ts';
import { edgeRecord } from './panel-edges.ts';

/** Printed glass, with the visible area of its film. */
export interface PrintedWindow {
  readonly area: NoFilmArea;
  readonly windowFilm: WindowFilm;
  readonly points: readonly Point<'finished'>[];
}

/** A window too small for any film inside its seal is left out, and a finding reports it. */
export const printedWindows = ({ noFilmAreas }: Pick<Side, 'noFilmAreas'>): readonly PrintedWindow[] =>
  noFilmAreas.flatMap((area) => {
    const { windowFilm } = area;
    const points = windowFilm && polygonInset(areaPoints(area), windowFilm.sealMm);
    return points ? [{ area, windowFilm, points }] : [];
  });

interface WindowsOfSide {
  /** Number of panels on the body, which are numbered first. */
  readonly before: number;
  readonly labelOf: (number: number) => string;
  readonly borderMm: Mm;
  readonly artwork: Rect<'finished'> | undefined;
}

/** In the order of the areas, after the panels of the body. Keeps GLS1. */
export const windowPanels = (side: Side, { before, labelOf, borderMm, artwork }: WindowsOfSide): Panel[] =>
  printedWindows(side).map(({ area, windowFilm, points }, index): Panel => {
    const { filmId, sealMm, bleedMm } = windowFilm;
    const net = pointsHull(points);
    const asked = rectGrown(net, edgeLengthsAll(bleedMm));
    const printed = (artwork && rectIntersection(asked, artwork)) ?? asked;
    const number = before + index + 1;
    return {
      id: windowPanelId(area.id),
      sideId: side.id,
      label: labelOf(number),
      number,
      order: number,
      filmId,
      ...(side.installDay !== undefined && { installDay: side.installDay }),
      net,
      printed,
      film: rectGrown(printed, edgeLengthsAll(borderMm)),
      missing: artwork ? rectExcess(asked, artwork) : edgeLengthsAll(0),
      edges: edgeRecord(() => ({ kind: 'outer', allowanceMm: bleedMm, trim: 'tape' })),
      coveredAreaMm2: polygonArea(points),
      glass: { areaId: area.id, name: area.name, sealMm, points },
    };
  });

import { rectAcross, rectAlong } from '../job/region.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import {
  type Interval,
  intervalIntersection,
  intervalLength,
  isStrictlyWithin,
} from '../measure/interval.ts';
import { polygonArea } from '../measure/outline.ts';
import { pairsInTurn } from '../measure/pairs.ts';
import { pathLength } from '../measure/path.ts';
import { rectArea } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { bodyPanels, panelPoints, type Seam } from './panel.ts';
import { seamPath, seamWithinArea } from './seam-line-place.ts';
import type { SideLayout } from './side-layout.ts';

/** Totals of a side. Areas in mm². */
export interface SideTotals {
  readonly panelCount: number;
  /** Visible area of the panels on the body, no-film areas included. */
  readonly netAreaMm2: number;
  /** Net area minus the no-film areas: the area finally covered with film. */
  readonly coveredAreaMm2: number;
  /** Film cut for the panels: printed image and border. */
  readonly filmAreaMm2: number;
  /** Length of seams to press down, without the parts in no-film areas. */
  readonly seamLengthMm: Mm;
}

export function sideTotals(layout: SideLayout): SideTotals {
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
  return {
    panelCount: layout.panels.length,
    netAreaMm2: sum(bodyPanels(layout.panels).map((panel) => polygonArea(panelPoints(panel)))),
    coveredAreaMm2: sum(layout.panels.map(({ coveredAreaMm2 }) => coveredAreaMm2)),
    filmAreaMm2: sum(layout.panels.map(({ film }) => rectArea(film))),
    seamLengthMm: sum(layout.seams.map((seam) => seamLength(layout, seam))),
  };
}

/** The length of a seam on film: its span minus the no-film areas on the seam line. */
export function seamLength(layout: SideLayout, seam: Seam): Mm {
  const { noFilmAreas } = layout.side;
  if (seam.path || noFilmAreas.some(({ outline }) => outline)) return shapedLength(layout, seam);
  const gaps = noFilmAreas.flatMap((noFilmArea): Interval | Interval[] => {
    const rect = rectFromStored<'finished'>(noFilmArea.rect);
    if (!isStrictlyWithin(seam.at, rectAcross(rect, seam.direction))) return [];
    return intervalIntersection(seam.span, rectAlong(rect, seam.direction)) ?? [];
  });
  return intervalLength(seam.span) - intervalsUnionLength(gaps);
}

function shapedLength({ side }: SideLayout, seam: Seam): Mm {
  const gaps = side.noFilmAreas.flatMap((area) => seamWithinArea(seam, area));
  const stops = [seam.span.start, seam.span.end, ...gaps.flatMap(({ start, end }) => [start, end])];
  return pairsInTurn(stops.toSorted((a, b) => a - b)).reduce((sum, [start, end]) => {
    const middle = (start + end) / 2;
    const isBare = gaps.some((gap) => gap.start < middle && middle < gap.end);
    return isBare ? sum : sum + pathLength(seamPath(seam), { start, end });
  }, 0);
}

function intervalsUnionLength(intervals: readonly Interval[]): Mm {
  let length = 0;
  let reached = Number.NEGATIVE_INFINITY;
  for (const { start, end } of intervals.toSorted((a, b) => a.start - b.start)) {
    length += Math.max(0, end - Math.max(reached, start));
    reached = Math.max(reached, end);
  }
  return length;
}

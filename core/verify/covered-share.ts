import { areaPoints } from '../job/area-shape.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { polygonCoveredArea } from '../measure/polygon.ts';
import {
  type Point,
  type Rect,
  rectArea,
  rectIntersection,
  rectPoints,
  rectsUnionArea,
} from '../measure/rect.ts';

export interface CoveredShare {
  /** Share of the area needing film that the panels cover. */
  readonly share: number;
  readonly uncoveredMm2: number;
}

/** Hairline gaps between adjacent rectangles are rounding. */
const NEGLIGIBLE_MM2 = 1;

/**
 * Whether the net rectangles, and the outlines of shaped panels, cover the side except its no-film areas. Keeps PF6.
 */
export function coveredShare(
  layout: SideLayout,
  nets: readonly Rect<'finished'>[],
  outlines: readonly (readonly Point[])[] = [],
): CoveredShare {
  const { outline, side } = layout;
  const within = (rects: readonly Rect<'finished'>[]) =>
    rects.flatMap((rect) => rectIntersection(rect, outline) ?? []);
  // A dropped panel is inside a no-film area, so the no-film areas are enough.
  const open = within(side.noFilmAreas.map((noFilmArea) => rectFromStored<'finished'>(noFilmArea.rect)));
  const isShaped = outlines.length > 0 || side.noFilmAreas.some((area) => area.outline);
  const areas = side.noFilmAreas.map(areaPoints);
  const [openMm2, eitherMm2] = isShaped
    ? [
        polygonCoveredArea(rectPoints(outline), areas),
        polygonCoveredArea(rectPoints(outline), [...areas, ...nets.map(rectPoints), ...outlines]),
      ]
    : [rectsUnionArea(open), rectsUnionArea([...open, ...within(nets)])];
  const needed = rectArea(outline) - openMm2;
  const covered = eitherMm2 - openMm2;
  const uncoveredMm2 = needed - covered;
  if (uncoveredMm2 < NEGLIGIBLE_MM2) return { share: 1, uncoveredMm2: 0 };
  return { share: covered / needed, uncoveredMm2 };
}

import { rectFromStored } from '../job/stored-rect.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { polygonArea, polygonClipped } from '../measure/outline.ts';
import {
  type Point,
  type Rect,
  rectArea,
  rectIntersection,
  rectsApart,
  rectsUnionArea,
} from '../measure/rect.ts';

export interface CoveredShare {
  /** Share of what needs film that the panels cover. */
  readonly share: number;
  readonly uncoveredMm2: number;
}

/** Hairs between rectangles that meet are rounding, not gaps. */
const NEGLIGIBLE_MM2 = 1;

/** Whether the net rectangles, and the outlines of panels with shape, cover the side, save where it is open. */
export function coveredShare(
  layout: SideLayout,
  nets: readonly Rect<'finished'>[],
  outlines: readonly (readonly Point[])[] = [],
): CoveredShare {
  const { outline, side } = layout;
  const within = (rects: readonly Rect<'finished'>[]) =>
    rects.flatMap((rect) => rectIntersection(rect, outline) ?? []);
  // A dropped panel lies within a no-film area, so the no-film areas say all.
  const open = within(side.noFilmAreas.map((noFilmArea) => rectFromStored<'finished'>(noFilmArea.rect)));
  const openMm2 = rectsUnionArea(open);
  const needed = rectArea(outline) - openMm2;
  const plain = rectsApart([...open, ...within(nets)]);
  const shapedMm2 = outlines.reduce((sum, points) => {
    const shown = polygonClipped(points, outline);
    const twice = plain.reduce((area, rect) => area + polygonArea(polygonClipped(shown, rect)), 0);
    return sum + polygonArea(shown) - twice;
  }, 0);
  const covered = rectsUnionArea(plain) - openMm2 + shapedMm2;
  const uncoveredMm2 = needed - covered;
  if (uncoveredMm2 < NEGLIGIBLE_MM2) return { share: 1, uncoveredMm2: 0 };
  return { share: covered / needed, uncoveredMm2 };
}

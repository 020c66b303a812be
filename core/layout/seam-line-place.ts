/** Position of a seam, straight or with shape. */

import { type AreaShape, areaPoints } from '../job/area-shape.ts';
import { rectAcross, rectAlong } from '../job/region.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import type { Interval } from '../measure/interval.ts';
import { intervalIntersection } from '../measure/interval.ts';
import { type Path, pathPartsWithin, pathRange, pointFromAxis, straightPath } from '../measure/path.ts';
import { pathWithinPolygon } from '../measure/polygon.ts';
import { firstOf, lastOf } from '../measure/present.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { Seam } from './panel.ts';

export type LineOnSide = Pick<Seam, 'direction' | 'at' | 'span'> & { readonly path?: Path | undefined };

export const seamPath = ({ path, at }: Pick<LineOnSide, 'path' | 'at'>): Path => path ?? straightPath(at);

/** The range of a seam across its axis, over its span or a stretch of it. */
export const seamAcross = (seam: LineOnSide, along: Interval = seam.span): Interval =>
  seam.path ? pathRange(seam.path, along) : { start: seam.at, end: seam.at };

/** `1250 mm`; for a seam with shape `820 mm to 870 mm`. */
export function seamAtText(seam: LineOnSide, length: (mm: Mm) => string): string {
  const { start, end } = seamAcross(seam);
  const [from, to] = [length(start), length(end)];
  return from === to ? from : `${from} to ${to}`;
}

/** The stretches of a seam inside a rectangle; a stretch along its edge is not inside. */
export function seamWithin(seam: LineOnSide, rect: Rect<'finished'>): readonly Interval[] {
  const shared = intervalIntersection(seam.span, rectAlong(rect, seam.direction));
  if (!shared) return [];
  const across = rectAcross(rect, seam.direction);
  return pathPartsWithin(seamPath(seam), shared, across).map((part) => ({
    start: firstOf(part).along,
    end: lastOf(part).along,
  }));
}

/** The stretches of a seam inside an area, by its outline where it has one. */
export function seamWithinArea(seam: LineOnSide, area: AreaShape): readonly Interval[] {
  if (!area.outline) return seamWithin(seam, rectFromStored<'finished'>(area.rect));
  const polygon = areaPoints(area).map((point) => {
    const { along, across } = pointFromAxis(seam.direction, point);
    return { x: along, y: across };
  });
  return pathWithinPolygon(seamPath(seam), seam.span, polygon);
}

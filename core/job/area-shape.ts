/** The shape of an area of a side: a rectangle, or a closed outline with its bounding rectangle. */
import { pointsHull } from '../measure/outline.ts';
import { polygonFault, polygonLongest } from '../measure/polygon.ts';
import { type Point, rectPoints } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { NoSeamArea, StoredRect } from './schema.ts';
import { rectFromStored, storedFromRect } from './stored-rect.ts';

export type AreaShape = Pick<NoSeamArea, 'rect' | 'outline'>;

/** The corners of an area in order; those of a rectangle clockwise from the top left. */
export const areaPoints = ({ rect, outline }: AreaShape): readonly Point<'finished'>[] =>
  outline?.map(({ xMm, yMm }) => ({ x: xMm, y: yMm })) ?? rectPoints(rectFromStored<'finished'>(rect));

/** Greatest width or height of an area. */
export function areaLength(area: AreaShape, measure: 'width' | 'height'): Mm {
  if (!area.outline) return measure === 'width' ? area.rect.widthMm : area.rect.heightMm;
  const points = areaPoints(area);
  return polygonLongest(measure === 'width' ? points : points.map(({ x, y }) => ({ x: y, y: x })));
}

/** The area with these corners: a plain rectangle where they form one aligned with the axes. */
export function areaFromPoints(points: readonly Point<'finished'>[]): AreaShape {
  const rect = pointsHull(points);
  const corners = rectPoints(rect);
  const isRect =
    points.length === corners.length &&
    corners.every((corner) =>
      points.some(({ x, y }) => Math.hypot(x - corner.x, y - corner.y) <= LENGTH_TOLERANCE_MM),
    ) &&
    !polygonFault(points);
  const stored = storedFromRect(rect);
  return isRect
    ? { rect: stored }
    : { rect: stored, outline: points.map(({ x, y }) => ({ xMm: x, yMm: y })) };
}

/** The area with each of its points moved; `move` must keep horizontal and vertical lines so. */
export function areaMapped<T extends AreaShape>(
  area: T,
  move: (at: Point<'finished'>) => Point<'finished'>,
): T {
  const rect = storedFromRect(pointsHull(rectPoints(rectFromStored<'finished'>(area.rect)).map(move)));
  const outline =
    area.outline &&
    areaPoints(area)
      .map(move)
      .map(({ x, y }) => ({ xMm: x, yMm: y }));
  return { ...area, rect, ...(outline && { outline }) };
}

/** The area fitted to another rectangle, with its outline scaled. */
export function areaFitted<T extends AreaShape>(area: T, { xMm, yMm, widthMm, heightMm }: StoredRect): T {
  const { rect: from } = area;
  const fitted = areaMapped(area, ({ x, y }) => ({
    x: xMm + ((x - from.xMm) * widthMm) / from.widthMm,
    y: yMm + ((y - from.yMm) * heightMm) / from.heightMm,
  }));
  return { ...fitted, rect: { xMm, yMm, widthMm, heightMm } };
}

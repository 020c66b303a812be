/** Lines that a point on a side snaps to while the operator measures or places a guide line. */

import { type AreaShape, areaPoints } from '../job/area-shape.ts';
import { bodyLineExtent } from '../job/body-line.ts';
import { sideLines } from '../job/door.ts';
import { linePath } from '../job/line-path.ts';
import type { SeamDirection } from '../job/schema.ts';
import type { SnapTarget } from '../job/seam-snap.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import type { Interval } from '../measure/interval.ts';
import { pairsFromLast } from '../measure/pairs.ts';
import { type Path, pathValue } from '../measure/path.ts';
import { type Point, type Rect, rectHorizontal, rectVertical } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { SideLayout } from './side-layout.ts';

/** A line on a side with its kind. Without a span it runs over the whole side and past it. */
export interface SnapLine {
  readonly direction: SeamDirection;
  readonly atMm: Mm;
  /** Path of the line, where it is not straight at `atMm`. */
  readonly path?: Path;
  readonly span?: Interval;
  readonly target: SnapTarget;
}

export interface SnappedPoint {
  readonly point: Point<'finished'>;
  /** The lines it snapped to, horizontally and vertically; empty where it is free. */
  readonly targets: readonly SnapTarget[];
}

/** Edges of the side, guide lines, seams, body lines, edges of areas and of the pictures given. */
export function sideSnapLines(
  { side, outline, seams }: Pick<SideLayout, 'side' | 'outline' | 'seams'>,
  pictures: readonly Rect<'finished'>[],
): readonly SnapLine[] {
  const areas = [...side.noFilmAreas, ...side.noSeamAreas, ...side.ground];
  return [
    ...edgeLines(outline, { kind: 'side-edge' }).map(({ span: _, ...line }) => line),
    ...(side.guides ?? []).map(
      ({ direction, atMm }): SnapLine => ({ direction, atMm, target: { kind: 'guide' } }),
    ),
    ...seams.map(
      ({ direction, at, span, path }): SnapLine => ({
        direction,
        atMm: at,
        span,
        ...(path && { path }),
        target: { kind: 'seam' },
      }),
    ),
    ...sideLines(side).map((line): SnapLine => {
      const span = bodyLineExtent(line);
      return {
        direction: line.direction,
        atMm: line.atMm,
        ...(line.shape && { path: linePath(line) }),
        ...(span && { span }),
        target: { kind: 'body-line', lineId: line.id, name: line.name },
      };
    }),
    ...areas.flatMap((area) => areaLines(area, { kind: 'area-edge', name: area.name })),
    ...pictures.flatMap((picture) => edgeLines(picture, { kind: 'picture-edge' })),
  ];
}

/** The edges of an area; for an area with an outline, only its vertical and horizontal edges. */
function areaLines(area: AreaShape, target: SnapTarget): readonly SnapLine[] {
  if (!area.outline) return edgeLines(rectFromStored<'finished'>(area.rect), target);
  return pairsFromLast(areaPoints(area)).flatMap(([from, to]): readonly SnapLine[] => {
    const span = (a: Mm, b: Mm): Interval => ({ start: Math.min(a, b), end: Math.max(a, b) });
    if (from.x === to.x) return [{ direction: 'vertical', atMm: to.x, span: span(from.y, to.y), target }];
    return from.y === to.y ? [{ direction: 'horizontal', atMm: to.y, span: span(from.x, to.x), target }] : [];
  });
}

function edgeLines(rect: Rect<'finished'>, target: SnapTarget): readonly SnapLine[] {
  const [across, down] = [rectHorizontal(rect), rectVertical(rect)];
  return [
    { direction: 'vertical', atMm: across.start, span: down, target },
    { direction: 'vertical', atMm: across.end, span: down, target },
    { direction: 'horizontal', atMm: down.start, span: across, target },
    { direction: 'horizontal', atMm: down.end, span: across, target },
  ];
}

/** Snaps a point to the nearest vertical line and the nearest horizontal line within reach, independently. */
export function pointSnap(lines: readonly SnapLine[], at: Point<'finished'>, reachMm: Mm): SnappedPoint {
  const upright = nearestLine(lines, 'vertical', { across: at.x, along: at.y }, reachMm);
  const level = nearestLine(lines, 'horizontal', { across: at.y, along: at.x }, reachMm);
  return {
    point: { x: upright?.atMm ?? at.x, y: level?.atMm ?? at.y },
    targets: [upright, level].flatMap((line) => line?.target ?? []),
  };
}

/** The nearest line of a direction; among lines at one place, the first. */
export function nearestLine(
  lines: readonly SnapLine[],
  direction: SeamDirection,
  { across, along }: { readonly across: Mm; readonly along: Mm },
  reachMm: Mm,
): SnapLine | undefined {
  const away = ({ atMm }: SnapLine) => Math.abs(atMm - across);
  return lines
    .map((line) => (line.path ? { ...line, atMm: pathValue(line.path, along) } : line))
    .filter(
      (line) =>
        line.direction === direction &&
        away(line) <= reachMm &&
        (!line.span || (along >= line.span.start - reachMm && along <= line.span.end + reachMm)),
    )
    .toSorted((a, b) => away(a) - away(b))[0];
}

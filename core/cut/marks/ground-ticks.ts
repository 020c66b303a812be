import { areaPoints } from '../../job/area-shape.ts';
import { bodyLineExtent } from '../../job/body-line.ts';
import { sideLines } from '../../job/door.ts';
import { linePath } from '../../job/line-path.ts';
import { rectAcross, rectAlong } from '../../job/region.ts';
import type { BodyLine, NoFilmArea, Side } from '../../job/schema.ts';
import { rectFromStored } from '../../job/stored-rect.ts';
import type { Panel } from '../../layout/panel.ts';
import { intervalIntersection } from '../../measure/interval.ts';
import { pointsHull, polygonArea, polygonClipped } from '../../measure/outline.ts';
import { type PathPoint, pathCrossings, pathValue, pointOnAxis } from '../../measure/path.ts';
import {
  type Edge,
  type Point,
  type Rect,
  rectBottom,
  rectIntersection,
  rectRight,
} from '../../measure/rect.ts';

/** Where something on the vehicle crosses the border of a panel, or begins or ends along one of its edges. */
export interface GroundTick {
  /** The edge whose border holds the tick. */
  readonly edge: Edge;
  /** Position on the side, in finished space. */
  readonly at: Point<'finished'>;
  readonly text: string;
  readonly isDashed: boolean;
}

/** Ticks for aligning a panel with the vehicle: solid for body lines, dashed for no-film areas. */
export function groundTicks(
  side: Side,
  { net }: Panel,
): readonly (readonly ['body-line' | 'no-film-area', readonly GroundTick[]])[] {
  return [
    ['body-line', sideLines(side).flatMap((line) => lineTicks(line, net))],
    ['no-film-area', side.noFilmAreas.flatMap((area) => areaTicks(area, net))],
  ];
}

/** Ticks where a line crosses the edges of the panel; a shaped line may cross any of the four. */
function lineTicks(line: BodyLine, net: Rect<'finished'>): GroundTick[] {
  const { direction, name } = line;
  const isLying = direction === 'horizontal';
  const path = linePath(line);
  const extent = bodyLineExtent(line);
  const along = rectAlong(net, direction);
  const across = rectAcross(net, direction);
  const tick = (edge: Edge, point: PathPoint): GroundTick => ({
    edge,
    at: pointOnAxis(direction, point),
    text: name,
    isDashed: false,
  });
  const [begins, ends]: [Edge, Edge] = isLying ? ['left', 'right'] : ['top', 'bottom'];
  const atEnds = (
    [
      [begins, along.start],
      [ends, along.end],
    ] as const
  ).flatMap(([edge, place]) => {
    const value = pathValue(path, place);
    const isReached = !extent || (extent.start <= place && place <= extent.end);
    return isReached && across.start < value && value < across.end
      ? [tick(edge, { along: place, across: value })]
      : [];
  });
  const shared = extent && intervalIntersection(extent, along);
  if (!line.shape || !shared) return atEnds;
  const [before, after]: [Edge, Edge] = isLying ? ['top', 'bottom'] : ['left', 'right'];
  const beside = (
    [
      [before, across.start],
      [after, across.end],
    ] as const
  ).flatMap(([edge, value]) =>
    pathCrossings(path, value, shared).map((place) => tick(edge, { along: place, across: value })),
  );
  return [...atEnds, ...beside];
}

/** A corner that shares less than a square millimeter with a panel is no help for aligning it. */
const NEGLIGIBLE_MM2 = 1;

/** Where an area begins and ends, at all four edges, as far as it is within the panel. */
function areaTicks(area: NoFilmArea, net: Rect<'finished'>): GroundTick[] {
  const { name, outline } = area;
  const part = outline ? polygonClipped(areaPoints(area), net) : [];
  if (outline && polygonArea(part) < NEGLIGIBLE_MM2) return [];
  const rect = outline ? pointsHull(part) : rectFromStored<'finished'>(area.rect);
  if (!rectIntersection(rect, net)) return [];
  const tick = (edge: Edge, x: number, y: number): GroundTick => ({
    edge,
    at: { x, y },
    text: name,
    isDashed: true,
  });
  const xs = [rect.x, rectRight(rect)].filter((x) => x > net.x && x < rectRight(net));
  const ys = [rect.y, rectBottom(rect)].filter((y) => y > net.y && y < rectBottom(net));
  return [
    ...xs.flatMap((x) => [tick('top', x, net.y), tick('bottom', x, rectBottom(net))]),
    ...ys.flatMap((y) => [tick('left', net.x, y), tick('right', rectRight(net), y)]),
  ];
}

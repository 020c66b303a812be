import type { BodyLine, NoFilmArea, Side } from '../../job/schema.ts';
import type { Panel } from '../../layout/panel.ts';
import { type Edge, type Point, type Rect, rectBottom, rectRight } from '../../measure/rect.ts';

/** Where something on the vehicle runs out of a panel, or begins and ends along one of its edges. */
export interface GroundTick {
  /** Of the border, beside the image. */
  readonly edge: Edge;
  /** On the side, in finished space. */
  readonly at: Point<'finished'>;
  readonly text: string;
  readonly isDashed: boolean;
}

/** Ticks by which a panel is lined up with the vehicle: body lines, full; no-film areas, dashed. */
export function groundTicks(
  side: Side,
  { net }: Panel,
): readonly (readonly ['body-line' | 'no-film-area', readonly GroundTick[]])[] {
  return [
    ['body-line', side.bodyLines.flatMap((line) => lineTicks(line, net))],
    ['no-film-area', side.noFilmAreas.flatMap((area) => areaTicks(area, net))],
  ];
}

/** At the two edges that a line crosses, as far as it reaches them. */
function lineTicks({ name, direction, atMm, extent }: BodyLine, net: Rect<'finished'>): GroundTick[] {
  const isLying = direction === 'horizontal';
  const [from, to] = isLying ? [net.y, rectBottom(net)] : [net.x, rectRight(net)];
  if (atMm <= from || atMm >= to) return [];
  const ends: readonly (readonly [Edge, number])[] = isLying
    ? [
        ['left', net.x],
        ['right', rectRight(net)],
      ]
    : [
        ['top', net.y],
        ['bottom', rectBottom(net)],
      ];
  return ends
    .filter(([, along]) => !extent || (extent.fromMm <= along && along <= extent.toMm))
    .map(([edge, along]) => ({
      edge,
      at: isLying ? { x: along, y: atMm } : { x: atMm, y: along },
      text: name,
      isDashed: false,
    }));
}

/** Where an area begins and ends, on all four edges, as far as it lies within the panel. */
function areaTicks({ name, rect }: NoFilmArea, net: Rect<'finished'>): GroundTick[] {
  const right = rect.xMm + rect.widthMm;
  const bottom = rect.yMm + rect.heightMm;
  const isBeside = right <= net.x || rect.xMm >= rectRight(net);
  if (isBeside || bottom <= net.y || rect.yMm >= rectBottom(net)) return [];
  const tick = (edge: Edge, x: number, y: number): GroundTick => ({
    edge,
    at: { x, y },
    text: name,
    isDashed: true,
  });
  const xs = [rect.xMm, right].filter((x) => x > net.x && x < rectRight(net));
  const ys = [rect.yMm, bottom].filter((y) => y > net.y && y < rectBottom(net));
  return [
    ...xs.flatMap((x) => [tick('top', x, net.y), tick('bottom', x, rectBottom(net))]),
    ...ys.flatMap((y) => [tick('left', net.x, y), tick('right', rectRight(net), y)]),
  ];
}

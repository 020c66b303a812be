/** What is under the pointer, computed from the layout and not from what is drawn. Pure. */

import { type AreaShape, areaPoints } from '../../core/job/area-shape.ts';
import { bodyLineSpan } from '../../core/job/body-line.ts';
import { doorLines, doorOutline } from '../../core/job/door.ts';
import type { ItemList } from '../../core/job/edits/edits.ts';
import { linePath } from '../../core/job/line-path.ts';
import type { BodyLine, Door, SeamDirection } from '../../core/job/schema.ts';
import { bodyPanels, type Panel, panelOutline, type Seam } from '../../core/layout/panel.ts';
import { seamPath } from '../../core/layout/seam-line-place.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import type { Interval } from '../../core/measure/interval.ts';
import { isInsidePolygon } from '../../core/measure/outline.ts';
import { pathDistance, pointFromAxis, segmentDistance } from '../../core/measure/path.ts';
import { itemAround, itemAt } from '../../core/measure/present.ts';
import { type Point, type Rect, rectBottom, rectRight, type Space } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';
import { doorSign } from './door-sign.ts';

export type BenchHit =
  | { readonly kind: 'seam'; readonly seam: Seam }
  | { readonly kind: 'item'; readonly list: ItemList; readonly itemId: string }
  | { readonly kind: 'panel'; readonly panel: Panel };

/** Which edges of a rectangle a handle moves. */
export interface Handle {
  readonly x: -1 | 0 | 1;
  readonly y: -1 | 0 | 1;
}

/**
 * The nearest seam within reach; else an item, where its rim or line is within reach; else the panel.
 * `reachMm` is a few pixels on the bench.
 */
export function benchHit(layout: SideLayout, at: Point<'finished'>, reachMm: Mm): BenchHit | undefined {
  const seam = nearest(layout.seams, (candidate) => seamDistance(candidate, at, reachMm), reachMm);
  if (seam) return { kind: 'seam', seam };
  const item = itemHit(layout, at, reachMm);
  if (item) return item;
  const panel = panelAt(layout, at);
  return panel && { kind: 'panel', panel };
}

/** On glass, the panel there, not the one of the body around it. */
export const panelAt = ({ panels }: Pick<SideLayout, 'panels'>, at: Point<'finished'>): Panel | undefined =>
  [...panels.filter(({ glass }) => glass), ...bodyPanels(panels)].find((panel) => {
    const outline = panelOutline(panel);
    return outline ? isInsidePolygon(at, outline) : isInside(panel.net, at);
  });

/** What a seam would cut there. */
export const bodyPanelAt = ({ panels }: SideLayout, at: Point<'finished'>): Panel | undefined =>
  panelAt({ panels: bodyPanels(panels) }, at);

function itemHit({ side, outline }: SideLayout, at: Point<'finished'>, reachMm: Mm): BenchHit | undefined {
  const guide = nearest(
    side.guides ?? [],
    ({ direction, atMm }) => Math.abs((direction === 'vertical' ? at.x : at.y) - atMm),
    reachMm,
  );
  if (guide) return { kind: 'item', list: 'guides', itemId: guide.id };
  const line = nearest(side.bodyLines, (candidate) => lineDistance(candidate, outline, at), reachMm);
  if (line) return { kind: 'item', list: 'bodyLines', itemId: line.id };
  const door = nearest(side.doors ?? [], (candidate) => doorDistance(candidate, outline, at), reachMm);
  if (door) return { kind: 'item', list: 'doors', itemId: door.id };
  for (const list of ['noFilmAreas', 'noSeamAreas', 'ground'] as const) {
    const areas: readonly (AreaShape & { readonly id: string })[] = side[list];
    const area = nearest(areas, (candidate) => areaDistance(candidate, at), reachMm);
    if (area) return { kind: 'item', list, itemId: area.id };
  }
  return undefined;
}

/** Infinity where the point is not beside the seam. */
function seamDistance(seam: Seam, at: Point, reachMm: Mm): number {
  const place = pointFromAxis(seam.direction, at);
  return isBeside(place.along, seam.span, reachMm)
    ? pathDistance(seamPath(seam), { start: seam.span.start - reachMm, end: seam.span.end + reachMm }, place)
    : Number.POSITIVE_INFINITY;
}

function lineDistance(line: BodyLine, outline: Rect<'finished'>, at: Point): number {
  const place = pointFromAxis(line.direction, at);
  const span = bodyLineSpan(line, outline);
  // The end points of a line with shape can also be grabbed from past its ends.
  return line.shape || isBeside(place.along, span, 0)
    ? pathDistance(linePath(line), span, place)
    : Number.POSITIVE_INFINITY;
}

/** The index of the point of a line within reach. */
export function linePointAt(line: BodyLine, at: Point, reachMm: Mm): number | undefined {
  const place = pointFromAxis(line.direction, at);
  const away = linePath(line).map(({ along, across }) =>
    Math.hypot(along - place.along, across - place.across),
  );
  const least = Math.min(...away);
  return line.shape && least <= reachMm ? away.indexOf(least) : undefined;
}

const isBeside = (along: Mm, span: Interval, slack: Mm): boolean =>
  along >= span.start - slack && along <= span.end + slack;

/** Distance from the rim of an area, from inside or outside. */
function areaDistance(area: AreaShape, at: Point): Mm {
  const points = areaPoints(area);
  return Math.min(...points.map((to, index) => edgeDistance([itemAround(points, index - 1), to], at)));
}

/** Distance from a straight edge. */
export const edgeDistance = ([from, to]: readonly [Point, Point], { x, y }: Point): Mm =>
  segmentDistance(
    [
      { along: from.x, across: from.y },
      { along: to.x, across: to.y },
    ],
    { along: x, across: y },
  );

/** Grabbed by its gap or sign: seams may cover all of its gap. */
function doorDistance(door: Door, outline: Rect<'finished'>, at: Point): Mm {
  const rect = doorOutline(door)?.rect;
  const sign = rect ? doorSign(door, rect) : [];
  return Math.min(
    ...doorLines(door).map((line) => lineDistance(line, outline, at)),
    ...sign.flatMap((points) =>
      points.slice(1).map((to, index) => edgeDistance([itemAt(points, index), to], at)),
    ),
  );
}

export const isInside = (rect: Rect, { x, y }: Point): boolean =>
  x >= rect.x && x <= rectRight(rect) && y >= rect.y && y <= rectBottom(rect);

function nearest<T>(candidates: readonly T[], distance: (candidate: T) => number, reach: number) {
  let best: T | undefined;
  let least = reach;
  for (const candidate of candidates) {
    const away = distance(candidate);
    if (away > least) continue;
    least = away;
    best = candidate;
  }
  return best;
}

/** The edge or corner of `rect` within reach, for dragging; undefined inside and far away. */
export function handleAt(rect: Rect, at: Point, reachMm: Mm): Handle | undefined {
  const isNearX = at.x >= rect.x - reachMm && at.x <= rectRight(rect) + reachMm;
  const isNearY = at.y >= rect.y - reachMm && at.y <= rectBottom(rect) + reachMm;
  if (!isNearX || !isNearY) return undefined;
  const side = (value: Mm, start: Mm, end: Mm): -1 | 0 | 1 => {
    if (Math.abs(value - start) <= reachMm && Math.abs(value - start) <= Math.abs(value - end)) return -1;
    return Math.abs(value - end) <= reachMm ? 1 : 0;
  };
  const x = side(at.x, rect.x, rectRight(rect));
  const y = side(at.y, rect.y, rectBottom(rect));
  return x === 0 && y === 0 ? undefined : { x, y };
}

/** The rectangle with a handle dragged by a distance; it never turns inside out. */
export function rectPulled<S extends Space>(
  rect: Rect<S>,
  { x, y }: Handle,
  by: Point,
  leastMm: Mm,
): Rect<S> {
  const pull = (start: Mm, end: Mm, side: -1 | 0 | 1, distance: Mm): Interval => {
    if (side === -1) return { start: Math.min(start + distance, end - leastMm), end };
    if (side === 1) return { start, end: Math.max(end + distance, start + leastMm) };
    return { start, end };
  };
  const horizontal = pull(rect.x, rectRight(rect), x, by.x);
  const vertical = pull(rect.y, rectBottom(rect), y, by.y);
  return {
    x: horizontal.start,
    y: vertical.start,
    width: horizontal.end - horizontal.start,
    height: vertical.end - vertical.start,
  };
}

/** Where a seam through `panel` at the point would lie. */
export const splitPosition = (at: Point, seams: SeamDirection): Mm => (seams === 'vertical' ? at.x : at.y);

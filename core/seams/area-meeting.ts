/** Where seams and panels meet an area: its rectangle, or the closed outline inside it. */
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import { isPolygonOverlapping, polygonArea, polygonClipped } from '../measure/outline.ts';
import { pairsFromLast, pairsInTurn } from '../measure/pairs.ts';
import { type Path, pathMoved, pathPart, pathsDifference } from '../measure/path.ts';
import { pathWithinPolygon, polygonInsideAt } from '../measure/polygon.ts';
import { lastOf } from '../measure/present.ts';
import { isRectWithin, type Point, type Rect, rectArea } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type AxisRect, axisRect, type PlanArea, type PlanNoFilmArea } from './plan-side.ts';
import { placeAcross, placeWithin, type SeamAxis, type SeamPlace } from './seam-place.ts';

type Shape = Pick<PlanArea, 'rect' | 'outline'>;
/** x runs along a seam of an axis, y across it. */
type Polygon = readonly Point[];

/** The stretches of a seam inside an area; a stretch along the rim is not inside. */
export function areaStretches(place: SeamPlace, area: Shape): readonly Interval[] {
  const { axis, at, from, to, path } = place;
  const box = axisRect(axis, area.rect);
  if (!path && (box.alongStart >= at || box.alongEnd <= at)) return [];
  if (!area.outline) {
    const along = { start: box.acrossStart, end: box.acrossEnd };
    return placeWithin(place, { along, across: { start: box.alongStart, end: box.alongEnd } });
  }
  const polygon = polygonOnAxis(axis, area.outline);
  const span = { start: from, end: to };
  if (path) return pathWithinPolygon(path, span, polygon);
  if (box.acrossEnd <= from || box.acrossStart >= to) return [];
  return insideAt(polygon, at).flatMap((stretch) => intervalIntersection(stretch, span) ?? []);
}

/** At a corner or along an edge, only what is inside on both sides counts. */
function insideAt(polygon: Polygon, at: Mm): readonly Interval[] {
  const slack = 2 * LENGTH_TOLERANCE_MM;
  if (!polygon.some(({ y }) => Math.abs(y - at) <= slack)) return polygonInsideAt(polygon, at);
  const after = polygonInsideAt(polygon, at + slack);
  return polygonInsideAt(polygon, at - slack).flatMap((one) =>
    after.flatMap((other) => intervalIntersection(one, other) ?? []),
  );
}

/** Whether an area contains part of the band where a seam may be visible, from `before` its line to `after` it. */
export function isBandInArea(
  place: SeamPlace,
  { before, after }: { readonly before: Mm; readonly after: Mm },
  area: Shape,
): boolean {
  const { axis, at, from, to, path } = place;
  const box = axisRect(axis, area.rect);
  const lies = besideBox(place, box);
  const isInBox =
    lies !== undefined &&
    box.alongStart < lies.end + after - LENGTH_TOLERANCE_MM &&
    lies.start - before < box.alongEnd - LENGTH_TOLERANCE_MM;
  if (!isInBox || !area.outline) return isInBox;
  const polygon = polygonOnAxis(axis, area.outline);
  if (!path) {
    // A band that does not cross the rim is wholly inside the area or wholly outside it.
    if (areaStretches({ ...place, at: at + (after - before) / 2 }, area).length > 0) return true;
    const [start, end] = [at - before + LENGTH_TOLERANCE_MM, at + after - LENGTH_TOLERANCE_MM];
    return isRimSome(polygon, place, (rim) => rim.start < end && rim.end > start);
  }
  if (before + after <= LENGTH_TOLERANCE_MM) return areaStretches(place, area).length > 0;
  const line = pathPart(path, { start: from, end: to });
  const edge = (by: Mm): Polygon =>
    pathMoved(line, { across: by }).map(({ along, across }) => ({ x: along, y: across }));
  return isPolygonOverlapping([...edge(-before), ...edge(after).toReversed()], polygon);
}

/**
 * Whether a seam runs so near along the rim of a no-film area that film lifts. A seam that crosses the area ends on its
 * rim, which does no harm where they meet at more than 45°.
 */
export function isRimGrazed(place: SeamPlace, area: PlanNoFilmArea): boolean {
  const box = axisRect(place.axis, area.rect);
  const lies = besideBox(place, box);
  if (!lies) return false;
  const near = area.margin - LENGTH_TOLERANCE_MM;
  const distanceFrom = (edge: Mm) => Math.max(0, lies.start - edge, edge - lies.end);
  if (!area.outline) return distanceFrom(box.alongStart) < near || distanceFrom(box.alongEnd) < near;
  if (box.alongStart - lies.end >= near || lies.start - box.alongEnd >= near) return false;
  const isCrossing = areaStretches(place, area).length > 0;
  return isRimSome(polygonOnAxis(place.axis, area.outline), place, (rim, a, b) => {
    if (isCrossing && Math.abs(b.y - a.y) > Math.abs(b.x - a.x)) return false;
    const { start, end } = place.path ? rimApart(a, b, place.path, place) : rim;
    const at = place.path ? 0 : place.at;
    return start < at + near && end > at - near;
  });
}

/** Whether a condition holds for any edge of a polygon over its range next to a seam. */
function isRimSome(
  polygon: Polygon,
  { from, to }: Pick<SeamPlace, 'from' | 'to'>,
  isTrue: (across: Interval, a: Point, b: Point) => boolean,
): boolean {
  let before = lastOf(polygon);
  for (const point of polygon) {
    const [a, b] = before.x <= point.x ? [before, point] : [point, before];
    before = point;
    if (b.x <= from + LENGTH_TOLERANCE_MM || a.x >= to - LENGTH_TOLERANCE_MM) continue;
    const slope = b.x > a.x ? (b.y - a.y) / (b.x - a.x) : 0;
    const first = a.x < from ? a.y + slope * (from - a.x) : a.y;
    const last = b.x > to ? b.y - slope * (b.x - to) : b.y;
    if (isTrue({ start: Math.min(first, last), end: Math.max(first, last) }, a, b)) return true;
  }
  return false;
}

/** Distance from a seam with shape to an edge of a polygon next to it. */
function rimApart(a: Point, b: Point, path: Path, { from, to }: Pick<SeamPlace, 'from' | 'to'>): Interval {
  const rim = [a, b].map(({ x, y }) => ({ along: x, across: y }));
  // An edge perpendicular to the axis shares its ends with its neighbors.
  const span = { start: Math.max(a.x, from), end: Math.min(b.x, to) };
  return span.end - span.start > LENGTH_TOLERANCE_MM
    ? pathsDifference(rim, path, span)
    : { start: Number.POSITIVE_INFINITY, end: Number.POSITIVE_INFINITY };
}

/** Whether a rectangle is wholly within an area. */
export const isRectInArea = (rect: Rect<'finished'>, { rect: box, outline }: Shape): boolean =>
  isRectWithin(rect, box) &&
  (!outline || rectArea(rect) - polygonArea(polygonClipped(outline, rect)) <= NEGLIGIBLE_MM2);

/** Tolerance for sums of areas. */
const NEGLIGIBLE_MM2 = 1e-3;

/** Where a strip `from`..`to` across is inside an area from side to side: stretches along the positions of an axis. */
export function areaAcross(axis: SeamAxis, area: Shape, from: Mm, to: Mm): readonly Interval[] {
  const { alongStart, alongEnd, acrossStart, acrossEnd } = axisRect(axis, area.rect);
  const slack = LENGTH_TOLERANCE_MM;
  if (acrossStart > from + slack || acrossEnd < to - slack) return [];
  if (!area.outline) return [{ start: alongStart, end: alongEnd }];
  const polygon = polygonOnAxis(axis, area.outline);
  const [first, last] = [from + slack, to - slack];
  const stops = pairsFromLast(polygon).flatMap(([start, end]) => {
    const meets = [first, last].flatMap((x) =>
      start.x > x !== end.x > x ? [start.y + ((end.y - start.y) * (x - start.x)) / (end.x - start.x)] : [],
    );
    return first < end.x && end.x < last ? [end.y, ...meets] : meets;
  });
  const sorted = [...new Set([alongStart, ...stops, alongEnd])].sort((a, b) => a - b);
  const found: { start: Mm; end: Mm }[] = [];
  for (const [start, end] of pairsInTurn(sorted)) {
    const inside = polygonInsideAt(polygon, (start + end) / 2);
    if (!inside.some((one) => one.start <= first && one.end >= last)) continue;
    const before = found.at(-1);
    if (before?.end === start) before.end = end;
    else found.push({ start, end });
  }
  return found;
}

const turned = new WeakMap<Polygon, Polygon>();

/** Requested at each place of a seam, so an outline is turned only once. */
function polygonOnAxis(axis: SeamAxis, outline: Polygon): Polygon {
  if (axis === 'horizontal') return outline;
  const known = turned.get(outline) ?? outline.map(({ x, y }) => ({ x: y, y: x }));
  turned.set(outline, known);
  return known;
}

/** The range across a seam that is next to a box; undefined where the seam does not run there. */
function besideBox(place: SeamPlace, { acrossStart, acrossEnd }: AxisRect): Interval | undefined {
  const shared = intervalIntersection(
    { start: acrossStart, end: acrossEnd },
    { start: place.from, end: place.to },
  );
  return shared && placeAcross(place, shared);
}

/** Merges changed places until there are few enough to check one by one. */

import { itemAt } from '../measure/present.ts';
import { type Rect, rectArea, rectHull, rectIntersection } from '../measure/rect.ts';

/** Two places are merged if that multiplies their area by no more than this. */
const MERGED_SLACK = 1.5;
export const MOST_PLACES = 24;

/** Boxes around all of `rects`: nearby ones are merged, and there are at most `most`. */
export function placesMerged(rects: readonly Rect<'finished'>[], most = MOST_PLACES): Rect<'finished'>[] {
  const apart: Rect<'finished'>[] = [];
  for (const rect of rects) addMerged(apart, rect);
  while (apart.length > most) {
    const last = apart.pop();
    if (!last) break;
    const added = apart.map((other) => rectArea(rectHull(other, last)) - rectArea(other));
    const nearest = added.indexOf(Math.min(...added));
    const [other = last] = apart.splice(nearest, 1);
    addMerged(apart, rectHull(other, last));
  }
  return apart;
}

function addMerged(apart: Rect<'finished'>[], rect: Rect<'finished'>): void {
  let merged = rect;
  for (let at = 0; at < apart.length; at++) {
    const other = itemAt(apart, at);
    const hull = rectHull(merged, other);
    const isTogether = rectArea(hull) <= MERGED_SLACK * (rectArea(merged) + rectArea(other));
    if (!isTogether && !rectIntersection(merged, other)) continue;
    merged = hull;
    apart.splice(at, 1);
    at = -1;
  }
  apart.push(merged);
}

/**
 * Places that a seam snaps to because of what is beside it: rivets, full film, edges of pictures, spaces between words.
 */

import { bodyLineExtent } from '../job/body-line.ts';
import { linePath } from '../job/line-path.ts';
import { rectAcross, rectAlong } from '../job/region.ts';
import type { Job, SeamDirection, Side } from '../job/schema.ts';
import type { SeamSnap } from '../job/seam-snap.ts';
import type { Lettering } from '../lettering/lettering.ts';
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import { pairsInTurn } from '../measure/pairs.ts';
import { pathRange } from '../measure/path.ts';
import { type Rect, rectHorizontal, rectVertical } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { Seam } from './panel.ts';
import { placesBesideRow } from './rivet-row.ts';
import type { SideLayout } from './side-layout.ts';

/**
 * Places where the film of a panel beside the seam uses the full print width of the roll, including bleed, overlap and
 * border. Example: the panel before a seam at 1,330 mm has 1,455 mm of film and the roll prints 1,504 mm, so the place
 * is 1,379 mm.
 */
export function rollFilledPlaces(
  { panels }: Pick<SideLayout, 'panels'>,
  seam: Seam,
  printWidthMm: Mm,
): readonly SeamSnap[] {
  const filmAcross = (id: string): readonly Mm[] =>
    panels
      .filter((panel) => panel.id === id)
      .map(({ film }) => (seam.direction === 'vertical' ? film.width : film.height));
  const places = [
    ...seam.firstPanelIds.flatMap(filmAcross).map((film) => seam.at + printWidthMm - film),
    ...seam.secondPanelIds.flatMap(filmAcross).map((film) => seam.at - printWidthMm + film),
  ];
  return places.map((atMm) => ({ atMm, target: { kind: 'roll-filled' } }));
}

/**
 * Places on both sides of each rivet row that runs beside the seam, where its film edges keep the shop's clearance from
 * the heads.
 */
export function rivetRowPlaces(
  job: Pick<Job, 'limits' | 'displayUnit'>,
  { bodyLines }: Pick<Side, 'bodyLines'>,
  edges: readonly Mm[],
  direction: SeamDirection,
  span: Interval,
): readonly SeamSnap[] {
  if (edges.length === 0) return [];
  return bodyLines.flatMap((line): readonly SeamSnap[] => {
    const extent = bodyLineExtent(line);
    const shared = extent ? intervalIntersection(extent, span) : span;
    if (line.kind !== 'rivet-row' || line.direction !== direction || !shared) return [];
    return placesBesideRow(pathRange(linePath(line), shared), edges, job).map((atMm) => ({
      atMm,
      target: { kind: 'beside-rivets', name: line.name },
    }));
  });
}

/** Both edges of each picture beside the seam. */
export function pictureEdgePlaces(
  pictures: readonly Rect<'finished'>[],
  direction: SeamDirection,
  span: Interval,
): readonly SeamSnap[] {
  return pictures
    .filter((picture) => intervalIntersection(rectAlong(picture, direction), span))
    .flatMap((picture) => Object.values(rectAcross(picture, direction)))
    .map((atMm: Mm) => ({ atMm, target: { kind: 'picture-edge' } }));
}

/** The middle of each space between two words of a line that a vertical seam would otherwise cut. */
export function wordSpacePlaces(
  lettering: readonly Lettering[],
  direction: SeamDirection,
  span: Interval,
): readonly SeamSnap[] {
  if (direction === 'horizontal') return [];
  return lettering.flatMap(({ rect, words }) => {
    if (!intervalIntersection(rectVertical(rect), span)) return [];
    const inTurn = words.map(rectHorizontal).toSorted((a, b) => a.start - b.start);
    return pairsInTurn(inTurn).flatMap(([before, next]): readonly SeamSnap[] => {
      if (next.start <= before.end) return [];
      return [{ atMm: (before.end + next.start) / 2, target: { kind: 'word-space' } }];
    });
  });
}

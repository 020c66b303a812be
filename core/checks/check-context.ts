/** Input of the checks, and texts for places. */

import type { Place } from '../findings/finding.ts';
import { jobLengthText } from '../findings/layout/finding-context.ts';
import type { Job, Side } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { viewingDistanceText } from '../measure/long-length.ts';
import { type Rect, rectBottom, rectGrown, rectRight } from '../measure/rect.ts';
import { finishedFromDrawn } from '../measure/spaces.ts';
import type { Mm } from '../measure/units.ts';
import type { ArtworkLimits } from '../shop/artwork-limits.ts';
import type { ArtworkScan, Occurrences, PageScan } from './scan/schema.ts';
import { viewingDistance } from './viewing-distance.ts';

/** A side on its page. */
export interface SideCheck {
  readonly job: Job;
  readonly limits: ArtworkLimits;
  readonly page: PageScan;
  readonly side: Side;
  readonly layout: SideLayout;
  /** The printed part of the side in finished space, bleed included. */
  readonly printed: Rect<'finished'>;
  readonly distance: Mm;
  readonly length: (mm: Mm) => string;
}

/** A page with the sides on it. */
export interface PageCheck {
  readonly job: Job;
  readonly limits: ArtworkLimits;
  readonly scan: ArtworkScan;
  readonly page: PageScan;
  readonly sides: readonly SideCheck[];
  readonly length: (mm: Mm) => string;
}

/** Pages that carry a side and were scanned, in order. */
export function pageChecks(
  job: Job,
  layouts: readonly SideLayout[],
  scan: ArtworkScan,
  limits: ArtworkLimits,
): PageCheck[] {
  const length = jobLengthText(job);
  return scan.pages.flatMap((page) => {
    const onPage = layouts.filter(({ side }) => side.page === page.number);
    if (onPage.length === 0) return [];
    const sides = onPage.map((layout): SideCheck => {
      const { side, outline } = layout;
      const printed = rectGrown(outline, side.bleed);
      return { job, limits, page, side, layout, printed, distance: viewingDistance(side), length };
    });
    return [{ job, limits, scan, page, sides, length }];
  });
}

/** A place on the page in finished space of the side. */
export const areaOnSide = ({ job, side }: SideCheck, drawn: Rect<'drawn'>): Rect<'finished'> =>
  finishedFromDrawn(rectFromStored<'drawn'>(side.artworkRect), job.scale).rect(drawn);

/** The printed part of a place, or undefined where it is outside the side. Lines and points count. */
export function areaPrinted(check: SideCheck, drawn: Rect<'drawn'>): Rect<'finished'> | undefined {
  const area = areaOnSide(check, drawn);
  const { printed } = check;
  const x = Math.max(area.x, printed.x);
  const y = Math.max(area.y, printed.y);
  const width = Math.min(rectRight(area), rectRight(printed)) - x;
  const height = Math.min(rectBottom(area), rectBottom(printed)) - y;
  const isThere = width >= 0 && height >= 0;
  // An area that touches the side only from outside prints nothing, but a line or point on its edge may.
  const isTouching = (width === 0 && area.width > 0) || (height === 0 && area.height > 0);
  return isThere && !isTouching ? { x, y, width, height } : undefined;
}

/** Things on a side: their places, and an exact or minimum count. */
export interface OnSide {
  readonly places: readonly Rect<'finished'>[];
  readonly count: number;
  readonly isExact: boolean;
}

/**
 * Which of these things are printed on the side. Only the first places are known; where all of those are elsewhere,
 * possibly none.
 */
export function occurrencesOnSide(check: SideCheck, things: Occurrences): OnSide | undefined {
  const isExact = things.places.length === things.objects;
  const places = things.places.flatMap((place) => areaPrinted(check, place) ?? []);
  if (places.length > 0) return { places, count: places.length, isExact };
  const around = isExact ? undefined : areaPrinted(check, things.area);
  return around && { places: [around], count: 1, isExact: false };
}

/** `3 strokes`, `one stroke`, `at least 24 strokes` */
export function countText({ count, isExact }: Pick<OnSide, 'count' | 'isExact'>, one: string): string {
  const text = count === 1 ? `one ${one}` : `${count} ${one}s`;
  return isExact ? text : `at least ${text}`;
}

/** `350 mm from the left and 120 mm from the top` of the side: the corner of an area. */
export function placeText({ length }: Pick<SideCheck, 'length'>, area: Rect<'finished'>): string {
  const along = (position: Mm, from: string, beyond: string) =>
    position >= 0 ? `${length(position)} from the ${from}` : `${length(-position)} beyond the ${beyond}`;
  return `${along(area.x, 'left', 'left edge')} and ${along(area.y, 'top', 'top edge')}`;
}

export const placeOnSide = ({ side, page }: SideCheck, area?: Rect<'finished'>): Place => ({
  sideId: side.id,
  page: page.number,
  ...(area && { area }),
});

/** A place on a page that may carry several sides: given on the first side that prints it, otherwise on the page. */
export function placeOnPage({ sides, page }: PageCheck, things: Occurrences | undefined): Place {
  for (const check of sides) {
    const area = things && occurrencesOnSide(check, things)?.places[0];
    if (area) return placeOnSide(check, area);
  }
  return { page: page.number };
}

/** Viewing distance as text: `3 m`, `9.8 ft` */
export const distanceText = (job: Pick<Job, 'displayUnit'>, distance: Mm): string =>
  viewingDistanceText(distance, job.displayUnit);

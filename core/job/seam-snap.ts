import { type Interval, intervalIntersection, isStrictlyWithin } from '../measure/interval.ts';
import { pathRange } from '../measure/path.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { bodyLineExtent } from './body-line.ts';
import { sideLines } from './door.ts';
import { linePath } from './line-path.ts';
import { rectAcross } from './region.ts';
import type { SeamDirection, Side } from './schema.ts';
import type { SeamInSplit } from './seam-range.ts';

/** What a seam or a point snapped to. */
export type SnapTarget =
  | { readonly kind: 'body-line'; readonly lineId: string; readonly name: string }
  | { readonly kind: 'guide' }
  /** Beside a row of rivets, at the shop's distance of film edges from rivets. */
  | { readonly kind: 'beside-rivets'; readonly name: string }
  /** The end of part `nth` of `of` equal parts of the split. */
  | { readonly kind: 'equal-division'; readonly nth: number; readonly of: number }
  | { readonly kind: 'whole-unit'; readonly stepMm: Mm }
  /** The film of a panel beside the seam uses the full print width of the roll. */
  | { readonly kind: 'roll-filled' }
  /** Between two words of lettering in the artwork. */
  | { readonly kind: 'word-space' }
  | { readonly kind: 'side-edge' }
  | { readonly kind: 'seam' }
  | { readonly kind: 'area-edge'; readonly name: string }
  /** Where a picture in the artwork begins or ends. */
  | { readonly kind: 'picture-edge' }
  | { readonly kind: 'none' };

export interface SeamSnap {
  readonly atMm: Mm;
  readonly target: SnapTarget;
}

export interface SnapRequest {
  readonly direction: SeamDirection;
  /** Position of the pointer. */
  readonly atMm: Mm;
  /** Snap distance in finished mm: a few pixels on the screen. */
  readonly reachMm: Mm;
  /** Extent of the seam along its direction. */
  readonly span: Interval;
  /** Extent of the split, for equal divisions. */
  readonly across: Interval;
  /** Range of the seam's position, ends excluded. */
  readonly range: Interval;
  /** Numbers of equal parts to offer; usually the split's number of parts. */
  readonly divisions: readonly number[];
  /** Whole steps of the job's unit: 10 mm or 25.4 mm. */
  readonly stepMm: Mm;
  /** Snap places from what is beside the seam, see core/layout/snap-places.ts. */
  readonly places?: readonly SeamSnap[];
}

/** The snap request for a seam that is moved within its split. */
export function snapRequestOfSeam(
  seam: SeamInSplit,
  at: Pick<SnapRequest, 'atMm' | 'reachMm' | 'stepMm' | 'places'>,
): SnapRequest {
  return {
    ...at,
    direction: seam.split.seams,
    span: seam.span,
    across: rectAcross(seam.rect, seam.split.seams),
    range: seam.range,
    divisions: [seam.split.parts.length],
  };
}

/**
 * Snaps a seam to a target within reach. Priority: guide line, body line, then places beside rivets, full film, edges
 * of pictures and spaces between words, then equal division, then whole unit; within one kind the nearest. A body line
 * counts where it runs beside the seam. A seam never leaves its range. Keeps SN1.
 */
export function seamSnap(side: Pick<Side, 'bodyLines' | 'doors' | 'guides'>, request: SnapRequest): SeamSnap {
  const kinds = [
    guideCandidates(side, request),
    lineCandidates(side, request),
    request.places ?? [],
    divisionCandidates(request),
    unitCandidates(request),
  ];
  for (const candidates of kinds) {
    const nearest = nearestWithin(candidates, request);
    if (nearest) return nearest;
  }
  return { atMm: request.atMm, target: { kind: 'none' } };
}

function nearestWithin(candidates: readonly SeamSnap[], { atMm, reachMm, range }: SnapRequest) {
  const distance = (snap: SeamSnap) => Math.abs(snap.atMm - atMm);
  return candidates
    .filter((snap) => distance(snap) <= reachMm && isStrictlyWithin(snap.atMm, range))
    .sort((a, b) => distance(a) - distance(b))[0];
}

const guideCandidates = ({ guides = [] }: Pick<Side, 'guides'>, { direction }: SnapRequest): SeamSnap[] =>
  guides
    .filter((guide) => guide.direction === direction)
    .map(({ atMm }) => ({ atMm, target: { kind: 'guide' } }));

function lineCandidates(
  side: Pick<Side, 'bodyLines' | 'doors'>,
  { direction, span }: SnapRequest,
): SeamSnap[] {
  return sideLines(side).flatMap((line): SeamSnap[] => {
    const extent = bodyLineExtent(line);
    const shared = extent ? intervalIntersection(extent, span) : span;
    // Rivets hide no seam.
    if (line.direction !== direction || line.kind === 'rivet-row' || !shared) return [];
    // A straight seam cannot be on a line that slopes beside it.
    const { start, end } = pathRange(linePath(line), shared);
    if (end - start > LENGTH_TOLERANCE_MM) return [];
    return [{ atMm: start, target: { kind: 'body-line', lineId: line.id, name: line.name } }];
  });
}

function divisionCandidates({ across, divisions }: SnapRequest): SeamSnap[] {
  return divisions.flatMap((of) =>
    Array.from({ length: Math.max(0, of - 1) }, (_, index): SeamSnap => {
      const nth = index + 1;
      return {
        atMm: across.start + ((across.end - across.start) * nth) / of,
        target: { kind: 'equal-division', nth, of },
      };
    }),
  );
}

function unitCandidates({ atMm, stepMm }: SnapRequest): SeamSnap[] {
  if (!(stepMm > 0)) return [];
  return [{ atMm: Math.round(atMm / stepMm) * stepMm, target: { kind: 'whole-unit', stepMm } }];
}

/**
 * Where an installer finds a seam with a tape: its distance from the nearest edge of the side, and from the nearest
 * body line.
 */

import { type AreaShape, areaPoints } from '../job/area-shape.ts';
import { bodyLineExtent } from '../job/body-line.ts';
import { sideLines } from '../job/door.ts';
import { linePath } from '../job/line-path.ts';
import { rectAcross, rectAlong } from '../job/region.ts';
import type { BodyLine, Side } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { type Interval, intervalIntersection, intervalLength } from '../measure/interval.ts';
import { type LengthFormat, lengthText } from '../measure/length-text.ts';
import { pointsHull, polygonClipped } from '../measure/outline.ts';
import { type Path, pathEnds, pathPart, pathsDifference } from '../measure/path.ts';
import { firstOf } from '../measure/present.ts';
import {
  type Edge,
  edgeLengthsAll,
  type Rect,
  rectBottom,
  rectFromEdges,
  rectGrown,
  rectRight,
} from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { Seam } from './panel.ts';
import { seamPath } from './seam-line-place.ts';
import type { SideLayout } from './side-layout.ts';

export interface EdgeDatum {
  readonly edge: Edge;
  readonly distanceMm: Mm;
  /**
   * For a seam with shape, the distance at its right or lower end; `distanceMm` is the one at its left or upper end.
   */
  readonly endMm?: Mm;
  /** `1250 mm from the front (left) edge`; for a seam with shape `820 mm → 870 mm from the top edge` */
  readonly text: string;
}

export interface LineDatum {
  readonly lineId: string;
  readonly name: string;
  readonly distanceMm: Mm;
  /** Position of the seam relative to the line. */
  readonly lies: 'on' | 'above' | 'below' | 'left-of' | 'right-of';
  /** `35 mm above the molding “belt line”` */
  readonly text: string;
}

/** A seam, or another line that is measured in the same way. */
export type PlacedLine = Pick<Seam, 'id' | 'direction' | 'at' | 'span'> & {
  readonly path?: Path | undefined;
};

export interface SeamDatums {
  readonly seamId: string;
  /** From the nearest edge of the side that exists beside the seam: the distance to set the tape to. */
  readonly near: EdgeDatum;
  /** From the opposite edge, as a check; absent where there is no such edge. */
  readonly far?: EdgeDatum;
  /** Absent where no body line runs beside the seam. */
  readonly fromLine?: LineDatum;
}

export interface NearestLine {
  readonly line: BodyLine;
  /** Position of the line beside the seam, across it. */
  readonly atMm: Mm;
  readonly distanceMm: Mm;
}

/** Less than a tape shows. */
const ON_LINE_MM = 0.5;

/**
 * The nearest body line that is parallel to the seam and runs beside part of it. A sloping line has no single distance
 * and is left out.
 */
export function nearestBodyLine(
  seam: Omit<PlacedLine, 'id'>,
  lines: readonly BodyLine[],
): NearestLine | undefined {
  return lines
    .flatMap((line): NearestLine[] => {
      const extent = bodyLineExtent(line);
      const shared = extent ? intervalIntersection(extent, seam.span) : seam.span;
      if (line.direction !== seam.direction || !shared) return [];
      if (!line.shape && !seam.path) {
        return [{ line, atMm: line.atMm, distanceMm: Math.abs(seam.at - line.atMm) }];
      }
      const { start, end } = pathsDifference(seamPath(seam), linePath(line), shared);
      if (end - start > ON_LINE_MM) return [];
      const beyond = (start + end) / 2;
      return [{ line, atMm: seam.at - beyond, distanceMm: Math.abs(beyond) }];
    })
    .reduce<NearestLine | undefined>(
      (nearest, candidate) => (nearest && nearest.distanceMm <= candidate.distanceMm ? nearest : candidate),
      undefined,
    );
}

/** Keeps DT1. */
export function seamDatums(layout: SideLayout, seam: PlacedLine, format: LengthFormat): SeamDatums {
  const across = rectAcross(layout.outline, seam.direction);
  const [before, after]: [Edge, Edge] = seam.direction === 'vertical' ? ['left', 'right'] : ['top', 'bottom'];
  const [from, to] = pathEnds(pathPart(seamPath(seam), seam.span)).map((end) => end.across) as [Mm, Mm];
  const datum = (edge: Edge, distance: (at: Mm) => Mm) =>
    edgeDatum(
      edge,
      seam.path ? distance(from) : distance(seam.at),
      seam.path && distance(to),
      layout.side,
      format,
    );
  const fromBefore = datum(before, (at) => at - across.start);
  const fromAfter = datum(after, (at) => across.end - at);
  const nearestFirst =
    fromBefore.distanceMm <= fromAfter.distanceMm ? [fromBefore, fromAfter] : [fromAfter, fromBefore];
  const there = nearestFirst.filter(({ edge }) => isEdgeThere(layout, seam, edge));
  const [near = firstOf(nearestFirst), far] = there;
  const nearest = nearestBodyLine(seam, sideLines(layout.side));
  return {
    seamId: seam.id,
    near,
    ...(far && { far }),
    ...(nearest && { fromLine: lineDatum(seam, nearest, format) }),
  };
}

/** Smallest length of an edge that a tape can hook on. */
const HOOK_MM: Mm = 30;

/**
 * Whether an edge of the side exists somewhere beside the seam. A wheel arch, window or lamp that extends to the
 * outline removes it: neither film nor body has an edge there. Keeps DT4.
 */
function isEdgeThere({ outline, side }: SideLayout, { direction, span }: PlacedLine, edge: Edge): boolean {
  const across = rectAcross(outline, direction);
  const taken = side.noFilmAreas.flatMap((noFilmArea): Interval[] => {
    const area = areaBeside(noFilmArea, outline, edge);
    const own = rectAcross(area, direction);
    const reaches =
      edge === 'left' || edge === 'top'
        ? own.start <= across.start + ON_LINE_MM
        : own.end >= across.end - ON_LINE_MM;
    const along = intervalIntersection(rectAlong(area, direction), span);
    return reaches && along ? [along] : [];
  });
  let longest = 0;
  let from = span.start;
  for (const { start, end } of taken.toSorted((a, b) => a.start - b.start)) {
    longest = Math.max(longest, start - from);
    from = Math.max(from, end);
  }
  return Math.max(longest, span.end - from) >= Math.min(HOOK_MM, intervalLength(span));
}

/** The rectangle of an area; for an area with an outline, the rectangle of its part at an edge of the side. */
function areaBeside(area: AreaShape, outline: Rect<'finished'>, edge: Edge): Rect<'finished'> {
  if (!area.outline) return rectFromStored<'finished'>(area.rect);
  const inward = { ...edgeLengthsAll(0), [edge]: -ON_LINE_MM };
  const [whole, inner] = [rectGrown(outline, edgeLengthsAll(FAR_MM)), rectGrown(outline, inward)];
  const strip =
    edge === 'left' || edge === 'top'
      ? rectFromEdges(
          whole.x,
          whole.y,
          edge === 'left' ? inner.x : rectRight(whole),
          edge === 'top' ? inner.y : rectBottom(whole),
        )
      : rectFromEdges(
          edge === 'right' ? rectRight(inner) : whole.x,
          edge === 'bottom' ? rectBottom(inner) : whole.y,
          rectRight(whole),
          rectBottom(whole),
        );
  return pointsHull(polygonClipped(areaPoints(area), strip));
}

/** Farther past its side than any area extends. */
const FAR_MM: Mm = 10_000;

/** `front` and `rear` where the side has a front, else the name of the edge as seen. */
export function endName(edge: Edge, { front }: Pick<Side, 'front'>): string {
  if (front === 'none' || edge === 'top' || edge === 'bottom') return edge;
  return edge === front ? 'front' : 'rear';
}

/** `front (left)` where the side has a front, else just `left`. */
export function edgeName(edge: Edge, front: Side['front']): string {
  if (front === 'none' || edge === 'top' || edge === 'bottom') return edge;
  return edge === front ? `front (${edge})` : `rear (${edge})`;
}

/** `820`; for a seam with shape `820 → 870`, at its left or upper end and at the other. */
export const datumLength = (
  { distanceMm, endMm }: Pick<EdgeDatum, 'distanceMm' | 'endMm'>,
  length: (mm: Mm) => string,
): string => (endMm === undefined ? length(distanceMm) : `${length(distanceMm)} → ${length(endMm)}`);

function edgeDatum(
  edge: Edge,
  distanceMm: Mm,
  endMm: Mm | undefined,
  side: Side,
  format: LengthFormat,
): EdgeDatum {
  const ends = { distanceMm, ...(endMm !== undefined && { endMm }) };
  return {
    edge,
    ...ends,
    text: `${datumLength(ends, (mm) => lengthText(mm, format))} from the ${edgeName(edge, side.front)} edge`,
  };
}

const LIES_TEXT: Readonly<Record<LineDatum['lies'], string>> = {
  on: 'on',
  above: 'above',
  below: 'below',
  'left-of': 'left of',
  'right-of': 'right of',
};

function lineDatum(
  seam: PlacedLine,
  { line, atMm, distanceMm }: NearestLine,
  format: LengthFormat,
): LineDatum {
  const lies = lieFromLine(seam, atMm, distanceMm);
  const lineText = `the ${line.kind.replace('-', ' ')} “${line.name}”`;
  const distanceText = lies === 'on' ? '' : `${lengthText(distanceMm, format)} `;
  return {
    lineId: line.id,
    name: line.name,
    distanceMm,
    lies,
    text: `${distanceText}${LIES_TEXT[lies]} ${lineText}`,
  };
}

function lieFromLine(seam: PlacedLine, lineAtMm: Mm, distanceMm: Mm): LineDatum['lies'] {
  if (distanceMm <= ON_LINE_MM) return 'on';
  const isBefore = seam.at < lineAtMm;
  if (seam.direction === 'horizontal') return isBefore ? 'above' : 'below';
  return isBefore ? 'left-of' : 'right-of';
}

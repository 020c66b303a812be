/** Where an installer finds a seam with a tape: from the nearest edge of the side, and from the nearest body line. */
import { rectAcross } from '../job/region.ts';
import type { BodyLine, Side } from '../job/schema.ts';
import { intervalIntersection } from '../measure/interval.ts';
import { type LengthFormat, lengthText } from '../measure/length-text.ts';
import type { Edge } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { Seam } from './panel.ts';
import type { SideLayout } from './side-layout.ts';

export interface EdgeDatum {
  readonly edge: Edge;
  readonly distanceMm: Mm;
  /** `1250 mm from the front (left) edge` */
  readonly text: string;
}

export interface LineDatum {
  readonly lineId: string;
  readonly name: string;
  readonly distanceMm: Mm;
  /** Where the seam lies, seen from the line. */
  readonly lies: 'on' | 'above' | 'below' | 'left-of' | 'right-of';
  /** `35 mm above the molding “belt line”` */
  readonly text: string;
}

export interface SeamDatums {
  readonly seamId: string;
  readonly fromEdge: EdgeDatum;
  /** From the opposite edge: the second datum of a side without a parallel body line, and a check with one. */
  readonly fromFarEdge: EdgeDatum;
  /** Absent where no body line runs beside the seam. */
  readonly fromLine?: LineDatum;
}

export interface NearestLine {
  readonly line: BodyLine;
  readonly distanceMm: Mm;
}

/** Shorter than a tape shows. */
const ON_LINE_MM = 0.5;

/** The nearest body line that is parallel to the seam and runs beside some of it. */
export function nearestBodyLine(
  seam: Pick<Seam, 'direction' | 'at' | 'span'>,
  side: Pick<Side, 'bodyLines'>,
): NearestLine | undefined {
  const beside = side.bodyLines.filter(
    ({ direction, extent }) =>
      direction === seam.direction &&
      (!extent || intervalIntersection({ start: extent.fromMm, end: extent.toMm }, seam.span)),
  );
  return beside
    .map((line) => ({ line, distanceMm: Math.abs(seam.at - line.atMm) }))
    .reduce<NearestLine | undefined>(
      (nearest, candidate) => (nearest && nearest.distanceMm <= candidate.distanceMm ? nearest : candidate),
      undefined,
    );
}

export function seamDatums(layout: SideLayout, seam: Seam, format: LengthFormat): SeamDatums {
  const across = rectAcross(layout.outline, seam.direction);
  const [before, after]: [Edge, Edge] = seam.direction === 'vertical' ? ['left', 'right'] : ['top', 'bottom'];
  const fromBefore = edgeDatum(before, seam.at - across.start, layout.side, format);
  const fromAfter = edgeDatum(after, across.end - seam.at, layout.side, format);
  const [fromEdge, fromFarEdge] =
    fromBefore.distanceMm <= fromAfter.distanceMm ? [fromBefore, fromAfter] : [fromAfter, fromBefore];
  const nearest = nearestBodyLine(seam, layout.side);
  const datums = { seamId: seam.id, fromEdge, fromFarEdge };
  return nearest ? { ...datums, fromLine: lineDatum(seam, nearest, format) } : datums;
}

/** `front (left)` where the side has a front, else just `left`. */
export function edgeName(edge: Edge, front: Side['front']): string {
  if (front === 'none' || edge === 'top' || edge === 'bottom') return edge;
  return edge === front ? `front (${edge})` : `rear (${edge})`;
}

function edgeDatum(edge: Edge, distanceMm: Mm, side: Side, format: LengthFormat): EdgeDatum {
  return {
    edge,
    distanceMm,
    text: `${lengthText(distanceMm, format)} from the ${edgeName(edge, side.front)} edge`,
  };
}

const LIES_TEXT: Readonly<Record<LineDatum['lies'], string>> = {
  on: 'on',
  above: 'above',
  below: 'below',
  'left-of': 'left of',
  'right-of': 'right of',
};

function lineDatum(seam: Seam, { line, distanceMm }: NearestLine, format: LengthFormat): LineDatum {
  const lies = lieFromLine(seam, line.atMm, distanceMm);
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

function lieFromLine(seam: Seam, lineAtMm: Mm, distanceMm: Mm): LineDatum['lies'] {
  if (distanceMm <= ON_LINE_MM) return 'on';
  const isBefore = seam.at < lineAtMm;
  if (seam.direction === 'horizontal') return isBefore ? 'above' : 'below';
  return isBefore ? 'left-of' : 'right-of';
}

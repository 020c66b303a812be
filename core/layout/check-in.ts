/**
 * The few dimensions that the layout of a side depends on. They are measured on the vehicle before artwork or film is
 * spent, and again before a liner is peeled.
 */
import { bodyLineSpan } from '../job/body-line.ts';
import { sideLines } from '../job/door.ts';
import { linePath } from '../job/line-path.ts';
import { rectAcross, rectAlong } from '../job/region.ts';
import type { BodyLine, Side } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { intervalIntersection } from '../measure/interval.ts';
import { pathMean } from '../measure/path.ts';
import { type Edge, rectArea } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { Seam } from './panel.ts';
import { endName, nearestBodyLine, type PlacedLine, seamDatums } from './seam-datums.ts';
import type { SideLayout } from './side-layout.ts';

/** Common practice, no source: film that wraps into a gap tolerates little error, the bleed of an outer edge more. */
export const GAP_TOLERANCE_MM: Mm = 3;
export const EDGE_TOLERANCE_MM: Mm = 12;

const MOST_DIMENSIONS = 5;
/** A seam this near to a body line is measured by the line. */
const ON_LINE_MM: Mm = 0.5;

export interface CheckInDimension {
  /** `width`, `height`, `diagonal`, or the id of the body line, seam or no-film area that it leads to. */
  readonly id: string;
  /** The edge to hook the tape on. */
  readonly from: Edge;
  /** Name of the target; absent where the id is enough. */
  readonly to?: string;
  readonly drawnMm: Mm;
  /** Position along the side, from its left or top; absent: where the sheet has room. */
  readonly alongMm?: Mm;
  readonly toleranceMm: Mm;
  /** The measured value, where one was entered. */
  readonly measuredMm?: Mm;
}

/**
 * Three to five dimensions of a side: width and height, body gaps with seams, other lines with seams, further body
 * lines, the largest no-film areas, and the diagonal where the side has nothing else to measure. Keeps CK1.
 */
export function checkInDimensions(layout: SideLayout): readonly CheckInDimension[] {
  const { side, outline } = layout;
  const { width, height } = outline;
  const outer = { toleranceMm: EDGE_TOLERANCE_MM };
  const inner = [...lineDimensions(layout), ...areaDimensions(layout)].slice(0, MOST_DIMENSIONS - 2);
  const all: Omit<CheckInDimension, 'measuredMm'>[] = [
    { id: 'width', from: 'left', drawnMm: width, ...outer },
    { id: 'height', from: 'top', drawnMm: height, ...outer },
    ...inner,
    ...(inner.length === 0
      ? [{ id: 'diagonal', from: 'left', drawnMm: Math.sqrt(width ** 2 + height ** 2), ...outer } as const]
      : []),
  ];
  return all.map((dimension) => {
    const measuredMm = measuredOf(side, dimension);
    return measuredMm === undefined ? dimension : { ...dimension, measuredMm };
  });
}

function measuredOf({ measured, checkIn }: Side, { id, from }: Pick<CheckInDimension, 'id' | 'from'>) {
  if (id === 'width') return measured?.widthMm;
  if (id === 'height') return measured?.heightMm;
  return checkIn?.find((figure) => figure.dimensionId === id && figure.from === from)?.measuredMm;
}

/** The lower the rank, the more the layout depends on the line. */
interface RankedLine {
  readonly rank: number;
  readonly name: string;
  readonly line: PlacedLine;
}

function lineDimensions(layout: SideLayout): CheckInDimension[] {
  const { side, seams } = layout;
  const drawn = sideLines(side);
  const lines = drawn.flatMap((line): RankedLine[] => {
    const carriesSeam = seams.some((seam) => isOn(seam, line));
    const isGap = line.kind === 'body-gap';
    const rank = carriesSeam ? (isGap ? 0 : 2) : isGap ? 3 : 4;
    const span = intervalIntersection(
      bodyLineSpan(line, layout.outline),
      rectAlong(layout.outline, line.direction),
    );
    if (!span) return [];
    const path = line.shape && linePath(line);
    const at = path ? pathMean(path, span) : line.atMm;
    return [{ rank, name: line.name, line: { ...line, at, span, path } }];
  });
  const gaps = seams
    .filter((seam) => seam.joint === 'gap' && !drawn.some((line) => isOn(seam, line)))
    .map((seam): RankedLine => ({ rank: 1, name: 'body gap', line: seam }));
  return (
    [...lines, ...gaps]
      .toSorted((a, b) => a.rank - b.rank || a.line.at - b.line.at)
      .flatMap(({ rank, name, line }): CheckInDimension[] => {
        const { near } = seamDatums(layout, line, 'mm');
        const { id, direction, span } = line;
        const toleranceMm = rank <= 1 ? GAP_TOLERANCE_MM : EDGE_TOLERANCE_MM;
        const first = { id, from: near.edge, to: name, drawnMm: near.distanceMm, toleranceMm };
        if (near.endMm === undefined) return [first];
        // A line with shape has no single distance, so it is measured at both ends.
        const ends: readonly [Edge, Edge] =
          direction === 'horizontal' ? ['left', 'right'] : ['top', 'bottom'];
        const at = (edge: Edge) => `${name}, at its ${endName(edge, side)} end`;
        return [
          { ...first, to: at(ends[0]), alongMm: span.start },
          { ...first, id: `${id}-end`, to: at(ends[1]), drawnMm: near.endMm, alongMm: span.end },
        ];
      })
      // A place past the side cannot be measured from its edges.
      .filter(({ drawnMm }) => drawnMm >= 0)
  );
}

const isOn = (seam: Seam, line: BodyLine): boolean => {
  const nearest = nearestBodyLine(seam, [line]);
  return nearest !== undefined && nearest.distanceMm <= ON_LINE_MM;
};

/** Distance of a no-film area's nearer vertical edge from its end of the side; largest areas first. */
function areaDimensions({ side, outline }: SideLayout): CheckInDimension[] {
  const across = rectAcross(outline, 'vertical');
  return side.noFilmAreas
    .map(({ id, name, rect }) => ({ id, name, rect: rectFromStored<'finished'>(rect) }))
    .toSorted((a, b) => rectArea(b.rect) - rectArea(a.rect))
    .flatMap(({ id, name, rect }): CheckInDimension[] => {
      const fromLeft = rect.x - across.start;
      const fromRight = across.end - rect.x - rect.width;
      const drawnMm = Math.min(fromLeft, fromRight);
      const from: Edge = fromLeft <= fromRight ? 'left' : 'right';
      // An area at the very end has no distance to measure.
      return drawnMm > 0 ? [{ id, from, to: name, drawnMm, toleranceMm: EDGE_TOLERANCE_MM }] : [];
    });
}

/** Measured minus drawn, where the difference is more than the tolerance. */
export function checkInError({ drawnMm, toleranceMm, measuredMm }: CheckInDimension): Mm | undefined {
  if (measuredMm === undefined) return undefined;
  const error = measuredMm - drawnMm;
  return Math.abs(error) > toleranceMm + ON_LINE_MM / 100 ? error : undefined;
}

/** `Width, front edge to rear edge`, `Front edge to “Cab door, rear gap”`. */
export function checkInName({ side }: Pick<SideLayout, 'side'>, { id, from, to }: CheckInDimension): string {
  const end = (edge: Edge) => endName(edge, side);
  if (id === 'width') return `Width, ${end('left')} edge to ${end('right')} edge`;
  if (id === 'height') return 'Height, top edge to bottom edge';
  if (id === 'diagonal') return `Diagonal, top at the ${end('left')} to bottom at the ${end('right')}`;
  const edge = end(from);
  return `${edge.charAt(0).toUpperCase()}${edge.slice(1)} edge to ${to}`;
}

import { doorLines, sideLines } from '../job/door.ts';
import { rectAcross, splitEdges } from '../job/region.ts';
import type { BodyLine, Door, NoFilmArea } from '../job/schema.ts';
import { type Panel, panelEdgeSpan, type Seam } from '../layout/panel.ts';
import {
  datumLength,
  type EdgeDatum,
  endName,
  type NearestLine,
  nearestBodyLine,
  seamDatums,
} from '../layout/seam-datums.ts';
import { seamPath } from '../layout/seam-line-place.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { tapePlaces } from '../layout/tape-places.ts';
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import type { Edge } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { type DisplayUnit, sheetLength } from './sheet-length.ts';

/**
 * Short names on a sheet that keep the picture readable: S1 a seam, L1 a body line, D1 a door, X1 a no-film area.
 * Panels have only their number.
 */
export interface SideKeys {
  readonly seams: readonly { readonly key: string; readonly seam: Seam }[];
  readonly lines: readonly { readonly key: string; readonly line: BodyLine }[];
  readonly doors: readonly { readonly key: string; readonly door: Door }[];
  readonly noFilmAreas: readonly { readonly key: string; readonly noFilmArea: NoFilmArea }[];
}

/** Seams are numbered from left to right, then from bottom to top, in tape direction. */
export function sideKeys(layout: SideLayout): SideKeys {
  const vertical = layout.seams.filter(({ direction }) => direction === 'vertical');
  const horizontal = layout.seams.filter(({ direction }) => direction === 'horizontal');
  const seams = [
    ...vertical.toSorted((a, b) => a.at - b.at || a.span.start - b.span.start),
    ...horizontal.toSorted((a, b) => b.at - a.at || a.span.start - b.span.start),
  ];
  return {
    seams: seams.map((seam, i) => ({ key: `S${i + 1}`, seam })),
    lines: layout.side.bodyLines.map((line, i) => ({ key: `L${i + 1}`, line })),
    doors: (layout.side.doors ?? []).map((door, i) => ({ key: `D${i + 1}`, door })),
    noFilmAreas: layout.side.noFilmAreas.map((noFilmArea, i) => ({ key: `X${i + 1}`, noFilmArea })),
  };
}

/** Two panels that meet at a seam, and the stretch where they do. */
export interface SeamMeeting {
  readonly first: Panel;
  readonly second: Panel;
  readonly along: Interval;
}

export function seamMeetings(layout: SideLayout, seam: Seam): SeamMeeting[] {
  const panel = new Map(layout.panels.map((p) => [p.id, p]));
  const [edgeOfSecond, edgeOfFirst] = splitEdges(seam.direction);
  return seam.firstPanelIds.flatMap((firstId) =>
    seam.secondPanelIds.flatMap((secondId): SeamMeeting[] => {
      const [first, second] = [panel.get(firstId), panel.get(secondId)];
      if (!first || !second) return [];
      const along = intervalIntersection(
        panelEdgeSpan(first, edgeOfFirst),
        panelEdgeSpan(second, edgeOfSecond),
      );
      return along ? [{ first, second, along }] : [];
    }),
  );
}

/** `4 over 3`, `4 meets 3`, `gap 4 | 3`: the panel installed last comes first. */
export function meetingText(seam: Seam, { first, second }: SeamMeeting): string {
  if (seam.joint === 'butt') return `${first.number} meets ${second.number}`;
  if (seam.joint === 'gap') return `gap ${first.number} | ${second.number}`;
  const [over, under] = seam.top === 'first' ? [first, second] : [second, first];
  return `${over.number} over ${under.number}`;
}

/**
 * `320 from the rear edge`: from the nearest existing edge of the side, without the unit; for a seam with shape, each
 * place. Keeps SH4.
 */
export function seamNearText(layout: SideLayout, seam: Seam, unit: DisplayUnit): string {
  const { near } = seamDatums(layout, seam, unit);
  return seam.path ? seamPlacesText(layout, seam, near.edge, unit) : datumText(layout, near, unit);
}

/** `from the top edge 820 at 0, 845 at 900, 870 at 1400 from the front edge`: enough to draw the seam on the vehicle. */
function seamPlacesText({ outline, side }: SideLayout, seam: Seam, edge: Edge, unit: DisplayUnit): string {
  const far = rectAcross(outline, seam.direction).end;
  const distance = (at: Mm) => (edge === 'right' || edge === 'bottom' ? far - at : at);
  const places = tapePlaces(seamPath(seam), seam.span).map(
    ({ along, across }) => `${sheetLength(distance(across), unit)} at ${sheetLength(along, unit)}`,
  );
  const from = seam.direction === 'vertical' ? 'top' : 'left';
  return `from the ${endName(edge, side)} edge ${places.join(', ')} from the ${endName(from, side)} edge`;
}

/** The same from the opposite edge, as a check; undefined where there is no such edge. */
export function seamFarText(layout: SideLayout, seam: Seam, unit: DisplayUnit): string | undefined {
  const { far } = seamDatums(layout, seam, unit);
  return far && !seam.path ? datumText(layout, far, unit) : undefined;
}

/** `320 from rear`, for a table: near or far; undefined where there is no such edge. */
export function seamTableText(
  layout: SideLayout,
  seam: Seam,
  unit: DisplayUnit,
  which: 'near' | 'far',
): string | undefined {
  const datum = seamDatums(layout, seam, unit)[which];
  if (!datum) return undefined;
  if (seam.path) return which === 'near' ? seamPlacesText(layout, seam, datum.edge, unit) : undefined;
  return `${sheetLength(datum.distanceMm, unit)} from ${endName(datum.edge, layout.side)}`;
}

/**
 * The short form beside a picture: `320`, `from rear`; `940↓` from the top edge and `420↑` from the bottom edge,
 * because width is scarce there.
 */
export function seamShort(
  layout: SideLayout,
  seam: Seam,
  unit: DisplayUnit,
): { readonly figure: string; readonly end?: string } {
  const { near } = seamDatums(layout, seam, unit);
  const distance = datumLength(near, (mm) => sheetLength(mm, unit));
  if (near.edge === 'top') return { figure: `${distance}↓` };
  if (near.edge === 'bottom') return { figure: `${distance}↑` };
  return { figure: distance, end: `from ${endName(near.edge, layout.side)}` };
}

const datumText = ({ side }: SideLayout, { edge, distanceMm }: EdgeDatum, unit: DisplayUnit): string =>
  `${sheetLength(distanceMm, unit)} from the ${endName(edge, side)} edge`;

/** `120 right of L2`, `on L1`, by name `on Belt line (L1)`; undefined where no body line runs beside the seam. */
export function seamFromLine(
  layout: SideLayout,
  keys: SideKeys,
  seam: Seam,
  unit: DisplayUnit,
  by: 'key' | 'name' = 'key',
): string | undefined {
  const nearest = nearestBodyLine(seam, sideLines(layout.side));
  const found = nearest && lineKey(keys, nearest.line.id);
  if (!nearest || found === undefined) return undefined;
  const key = by === 'name' ? `${nearest.line.name} (${found})` : found;
  const words = lineWords(seam, nearest);
  return words === 'on' ? `on ${key}` : `${sheetLength(nearest.distanceMm, unit)} ${words} ${key}`;
}

/** `L2`; for an edge of a door `D1 left`. */
function lineKey({ lines, doors }: SideKeys, lineId: string): string | undefined {
  const line = lines.find((each) => each.line.id === lineId);
  if (line) return line.key;
  const door = doors.find((each) => doorLines(each.door).some(({ id }) => id === lineId));
  return door && `${door.key} ${lineId.slice(door.door.id.length + 1)}`;
}

function lineWords(seam: Seam, { atMm, distanceMm }: NearestLine): string {
  if (distanceMm <= 0.5) return 'on';
  const isBefore = seam.at < atMm;
  if (seam.direction === 'vertical') return isBefore ? 'left of' : 'right of';
  return isBefore ? 'above' : 'below';
}

/** `1310 front, 420 up`: from the nearer end of the side, and from its bottom edge. */
export const noFilmPlace = (layout: SideLayout, area: Pick<NoFilmArea, 'rect'>, unit: DisplayUnit): string =>
  `${noFilmAlong(layout, area, unit)}, ${sheetLength(layout.outline.height - area.rect.yMm - area.rect.heightMm, unit)} up`;

/** `1310 front`: distance of the area from the nearer end of the side. */
export function noFilmAlong(
  { side, outline }: SideLayout,
  { rect }: Pick<NoFilmArea, 'rect'>,
  unit: DisplayUnit,
): string {
  const fromRight = outline.width - rect.xMm - rect.widthMm;
  const edge = rect.xMm <= fromRight ? 'left' : 'right';
  return `${sheetLength(Math.min(rect.xMm, fromRight), unit)} ${endName(edge, side)}`;
}

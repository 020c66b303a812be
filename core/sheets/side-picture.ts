import { type Item, PAPER, type RasterPicture, type Stroke, THICK, THIN } from '../drawing/drawing.ts';
import { areaPoints } from '../job/area-shape.ts';
import { bodyLineExtent, bodyLineSpan } from '../job/body-line.ts';
import { doorLines, doorOutline, sideLines } from '../job/door.ts';
import { panelTold } from '../job/job-films.ts';
import { linePath } from '../job/line-path.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { panelInside, panelPoints } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { type Interval, intervalIntersection, isStrictlyWithin } from '../measure/interval.ts';
import { pointsHull, polygonArea, polygonClipped } from '../measure/outline.ts';
import { pairsInTurn } from '../measure/pairs.ts';
import { type PathPoint, pathPartsWithin, pathValue, pointFromAxis, pointOnAxis } from '../measure/path.ts';
import { polygonInsideAt } from '../measure/polygon.ts';
import { firstOf, lastOf } from '../measure/present.ts';
import {
  EDGES,
  type Edge,
  type Point,
  type Rect,
  rectHorizontal,
  rectIntersection,
  rectVertical,
} from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { type EdgeLabel, edgeBandDepth, edgeLabelItems, type LabelWay } from './edge-labels.ts';
import { noFilmAreaTextItems } from './no-film-tiles.ts';
import { numberItems } from './number-tiles.ts';
import { Placer } from './placer.ts';
import { isShownAt, seamItems, seamStrokes } from './seam-symbols.ts';
import { seamTextItems } from './seam-tiles.ts';
import type { SheetContext } from './sheet-context.ts';
import { meetingText, type SideKeys, seamFromLine, seamMeetings, seamShort } from './side-keys.ts';

/** A picture of a side or part of it, with everything that an installer measures and installs by. */
export interface SidePicture {
  /** Size on the sheet, including the label bands around the side. */
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  draw(xMm: Mm, yMm: Mm): readonly Item[];
}

/** The depth of the label bands around a picture. */
export type Bands = Readonly<Record<Edge, Mm>>;

/**
 * Shorter labels leave more room for the picture: first names of body lines are cut short, then lines have only their
 * key, and distances no words.
 */
export const LABEL_LENGTHS = ['whole', 'cut', 'short'] as const;
export type LabelLength = (typeof LABEL_LENGTHS)[number];
const MOST_NAME_MM: Readonly<Record<LabelLength, Mm>> = { whole: 90, cut: 34, short: 34 };

export interface SidePictureParts {
  readonly context: SheetContext;
  readonly layout: SideLayout;
  readonly keys: SideKeys;
  readonly artwork: RasterPicture | undefined;
  /** Whole where absent. */
  readonly labels?: LabelLength;
  /** The part of the side that is shown. */
  readonly frame: Rect<'finished'>;
}

const BODY_LINE: Stroke = { widthMm: 0.35, black: 1, dashMm: [5, 1, 0.6, 1] };

/** Distances of the seams from the nearest edge of the side, and names of the body lines, in the shown part. */
export function sideLabels(parts: SidePictureParts): EdgeLabel[] {
  const { context, layout, keys, frame, labels = 'whole' } = parts;
  const isShort = labels === 'short';
  const mostMm = MOST_NAME_MM[labels];
  const { job } = context;
  const across = (isVertical: boolean) => (isVertical ? rectHorizontal(frame) : rectVertical(frame));
  const along = (isVertical: boolean) => (isVertical ? rectVertical(frame) : rectHorizontal(frame));
  const seams = keys.seams.flatMap(({ key, seam }): EdgeLabel[] => {
    const isVertical = seam.direction === 'vertical';
    const span = intervalIntersection(seam.span, along(isVertical));
    if (!span) return [];
    const fromLine = isShort ? undefined : seamFromLine(layout, keys, seam, job.displayUnit);
    const { figure, end } = seamShort(layout, seam, job.displayUnit);
    const tail = [end, fromLine].filter(Boolean).join(' · ');
    const isAtStart = span.start <= along(isVertical).start + 1;
    const isAtEnd = span.end >= along(isVertical).end - 1;
    const [startEdge, endEdge]: [Edge, Edge] = isVertical ? ['top', 'bottom'] : ['left', 'right'];
    const edge = !isAtStart && isAtEnd ? endEdge : startEdge;
    const at = seam.path ? pathValue(seam.path, edge === endEdge ? span.end : span.start) : seam.at;
    if (!isShownAt(at, across(isVertical))) return [];
    return [{ edge, atMm: at - across(isVertical).start, lead: key, figure, tail, isStrong: true, mostMm }];
  });
  const lines = keys.lines.flatMap(({ key, line }): EdgeLabel[] => {
    const isVertical = line.direction === 'vertical';
    const extent = bodyLineSpan(line, layout.outline);
    const place = Math.min(along(isVertical).end, extent.end);
    const value = line.shape ? pathValue(linePath(line), place) : line.atMm;
    if (!isStrictlyWithin(value, across(isVertical))) return [];
    const edge: Edge = isVertical ? 'bottom' : 'right';
    const atMm = value - across(isVertical).start;
    return [{ edge, atMm, figure: isShort ? key : `${key} ${line.name}`, isStrong: false, mostMm }];
  });
  return [...labelsMerged(seams), ...lines];
}

/** Seams on one line share one label: `S5 S6 940↓`, `S18–S34 940↓`. */
function labelsMerged(labels: readonly EdgeLabel[]): EdgeLabel[] {
  const alike = Map.groupBy(labels, ({ edge, atMm, figure, tail }) => [edge, atMm, figure, tail].join(' '));
  return [...alike.values()].map((same) => {
    const [first, last] = [firstOf(same), lastOf(same)];
    const isRange = same.length > 2;
    return {
      ...first,
      lead: isRange ? `${first.lead}–${last.lead}` : same.map(({ lead }) => lead).join(' '),
    };
  });
}

/** The bands around a picture at 1:`oneTo`, with labels set this way. */
export function sideBands(
  parts: SidePictureParts,
  way: LabelWay,
  oneTo: number,
  labels: readonly EdgeLabel[] = sideLabels(parts),
): Bands {
  const lengthMm = parts.frame.width / oneTo;
  const depth = (edge: Edge) => edgeBandDepth(parts.context.fonts, labels, edge, way, { oneTo, lengthMm });
  return { top: depth('top'), right: depth('right'), bottom: depth('bottom'), left: depth('left') };
}

export function sidePicture(parts: SidePictureParts, oneTo: number, way: LabelWay): SidePicture {
  const bands = sideBands(parts, way, oneTo);
  const width = parts.frame.width / oneTo;
  const height = parts.frame.height / oneTo;
  return {
    widthMm: bands.left + width + bands.right,
    heightMm: bands.top + height + bands.bottom,
    draw: (x, y) => pictureItems(parts, oneTo, way, { x: x + bands.left, y: y + bands.top, width, height }),
  };
}

/**
 * Where a seam and its panels have this much room, its text is placed on it before numbers use that room; next to it,
 * the text could be read as another seam's.
 */
const ROOMY_DEPTH_MM: Mm = 5;
const ROOMY_LENGTH_MM: Mm = 17;

function pictureItems(parts: SidePictureParts, oneTo: number, way: LabelWay, picture: Rect): Item[] {
  const { context, layout, keys, frame } = parts;
  const { fonts } = context;
  const onSheet = (r: Rect): Rect => ({
    x: picture.x + (r.x - frame.x) / oneTo,
    y: picture.y + (r.y - frame.y) / oneTo,
    width: r.width / oneTo,
    height: r.height / oneTo,
  });
  const pointOnSheet = ({ x, y }: Point): Point => ({
    x: picture.x + (x - frame.x) / oneTo,
    y: picture.y + (y - frame.y) / oneTo,
  });
  const visibleOnSheet = (r: Rect): Rect | undefined => rectIntersection(onSheet(r), picture);
  const noFilmAreas = keys.noFilmAreas.flatMap(({ key, noFilmArea }) => {
    const points = polygonClipped(areaPoints(noFilmArea), frame).map(pointOnSheet);
    if (polygonArea(points) <= 0) return [];
    const onGlass = layout.panels.find(({ glass }) => glass?.areaId === noFilmArea.id);
    return [{ key, name: noFilmArea.name, points, rect: pointsHull(points), onGlass }];
  });
  const noFilmAreaRects = noFilmAreas.map(({ rect }) => rect);
  const othersThan = (areaId: string) =>
    noFilmAreas.filter(({ onGlass }) => onGlass?.glass?.areaId !== areaId).map(({ rect }) => rect);
  const lettering = layout.side.noSeamAreas.flatMap(({ rect }) => visibleOnSheet(rectFromStored(rect)) ?? []);
  const avoid = { noFilmAreas: noFilmAreaRects, lettering };
  const labels = sideLabels(parts);
  const placer = new Placer();
  const seamTexts = keys.seams.flatMap(({ seam }) =>
    seamMeetings(layout, seam).flatMap((meeting) => {
      const [stroke] = seamStrokes(seam, frame, picture, oneTo, meeting.along);
      const isVertical = seam.direction === 'vertical';
      const across = isVertical ? rectHorizontal(frame) : rectVertical(frame);
      if (!stroke || (!seam.path && !isStrictlyWithin(seam.at, across))) return [];
      const [first, last] = [firstOf(stroke.points), lastOf(stroke.points)];
      const [start, end] = isVertical ? [first.y, last.y] : [first.x, last.x];
      const onSheet = stroke.points.map((point) => pointFromAxis(seam.direction, point));
      const offAt = (along: Mm) =>
        pathValue(onSheet, firstOf(onSheet).along + along) - firstOf(onSheet).across;
      const depths = [meeting.first, meeting.second].map(({ net }) => (isVertical ? net.width : net.height));
      const text = meetingText(seam, meeting);
      const depth = Math.min(...depths) / oneTo;
      const stretch = {
        text,
        from: first,
        lengthMm: end - start,
        isVertical,
        depthMm: depth,
        ...(seam.path && { offAt }),
      };
      const draw = () => seamTextItems(fonts, stretch, picture, avoid, placer);
      return [{ isRoomy: depth >= ROOMY_DEPTH_MM && end - start >= ROOMY_LENGTH_MM, draw }];
    }),
  );
  return [
    ...artworkItems(parts, picture, oneTo),
    ...noFilmAreas.flatMap(({ points, onGlass }) =>
      onGlass
        ? printedGlassItems(points, polygonClipped(panelPoints(onGlass), frame).map(pointOnSheet))
        : freeAreaItems(points),
    ),
    ...keys.lines.flatMap(({ line }) => bodyLineItems(line, frame, picture, oneTo)),
    ...keys.doors.flatMap(({ door }) =>
      doorLines(door).flatMap((line) => bodyLineItems(line, frame, picture, oneTo, 'door')),
    ),
    ...keys.seams.flatMap(({ seam }) => {
      return seamStrokes(seam, frame, picture, oneTo).flatMap(seamItems);
    }),
    ...frameItems(parts, picture),
    ...seamTexts.filter(({ isRoomy }) => isRoomy).flatMap(({ draw }) => draw()),
    ...layout.panels.flatMap((panel) => {
      const visible = visibleOnSheet(panelInside(panel));
      if (!visible) return [];
      const isReprinted = context.reprintedIds.has(panel.id);
      return numberItems(
        fonts,
        { ...panel, film: panelTold(context.job, panel) },
        visible,
        panel.glass ? { ...avoid, noFilmAreas: othersThan(panel.glass.areaId) } : avoid,
        { placer, isReversed: isReprinted },
      );
    }),
    ...seamTexts.filter(({ isRoomy }) => !isRoomy).flatMap(({ draw }) => draw()),
    ...noFilmAreas.flatMap(({ key, name, rect }) =>
      noFilmAreaTextItems(fonts, { key, name }, { noFilmArea: rect, picture }, avoid, placer),
    ),
    ...keys.doors.flatMap(({ key, door }) => {
      const place = doorOutline(door);
      const visible = place && visibleOnSheet(place.rect);
      return visible
        ? noFilmAreaTextItems(
            fonts,
            { key, name: door.name },
            { noFilmArea: visible, picture },
            avoid,
            placer,
          )
        : [];
    }),
    ...EDGES.flatMap((edge) => edgeLabelItems(fonts, labels, edge, { picture, oneTo }, way)),
  ];
}

/** The artwork of the whole side, of which the picture shows the frame. */
function artworkItems({ artwork, layout, frame }: SidePictureParts, shown: Rect, oneTo: number): Item[] {
  if (!artwork) return [];
  const { outline } = layout;
  const rect: Rect = {
    x: shown.x + (outline.x - frame.x) / oneTo,
    y: shown.y + (outline.y - frame.y) / oneTo,
    width: outline.width / oneTo,
    height: outline.height / oneTo,
  };
  return [{ kind: 'picture', tag: 'artwork', rect, picture: artwork, clip: shown, isFaint: true }];
}

const BREAK_PITCH_MM: Mm = 24;
const BREAK_RISE_MM: Mm = 2.4;

/**
 * The outline of the side in the picture. Where an edge of the picture cuts through panels, it is a break line of ISO
 * 128 (thin, with zigzags), so that it is not taken for an edge of film; along a seam it is thin.
 */
function frameItems({ frame, layout: { outline, panels } }: SidePictureParts, picture: Rect): Item[] {
  const isOutline: Readonly<Record<Edge, boolean>> = {
    top: frame.y <= outline.y,
    left: frame.x <= outline.x,
    bottom: frame.y + frame.height >= outline.y + outline.height - 1e-6,
    right: frame.x + frame.width >= outline.x + outline.width - 1e-6,
  };
  if (EDGES.every((edge) => isOutline[edge])) {
    return [{ kind: 'rect', tag: 'outline', rect: picture, stroke: THICK }];
  }
  const edgeAt = {
    left: frame.x,
    right: frame.x + frame.width,
    top: frame.y,
    bottom: frame.y + frame.height,
  };
  return EDGES.flatMap((edge): Item[] => {
    const points = edgePoints(picture, edge);
    if (isOutline[edge]) return [lineItem(points, THICK, 'outline')];
    const isUpright = edge === 'left' || edge === 'right';
    const [across, along] = isUpright
      ? ([rectHorizontal, rectVertical] as const)
      : ([rectVertical, rectHorizontal] as const);
    const whole = along(frame);
    const length = whole.end - whole.start;
    const cuts = panels.flatMap(({ net }) => {
      const shared = intervalIntersection(along(net), whole);
      return shared && isStrictlyWithin(edgeAt[edge], across(net)) ? [shared] : [];
    });
    const between = (share: number): Point => ({
      x: points[0].x + (points[1].x - points[0].x) * share,
      y: points[0].y + (points[1].y - points[0].y) * share,
    });
    const breaks = cuts.flatMap(({ start, end }) =>
      breakLine([between((start - whole.start) / length), between((end - whole.start) / length)]),
    );
    // Where no panel is cut, the edge is on a seam, which is drawn already.
    return [...breaks, ...(cuts.length === 0 ? [lineItem(points, THIN, 'outline')] : [])];
  });
}

function edgePoints({ x, y, width, height }: Rect, edge: Edge): readonly [Point, Point] {
  const [right, bottom] = [x + width, y + height];
  switch (edge) {
    case 'top':
      return [
        { x, y },
        { x: right, y },
      ];
    case 'bottom':
      return [
        { x, y: bottom },
        { x: right, y: bottom },
      ];
    case 'left':
      return [
        { x, y },
        { x, y: bottom },
      ];
    case 'right':
      return [
        { x: right, y },
        { x: right, y: bottom },
      ];
  }
}

const lineItem = ([from, to]: readonly [Point, Point], stroke: Stroke, tag: string): Item => ({
  kind: 'line',
  tag,
  from,
  to,
  stroke,
});

function breakLine([from, to]: readonly [Point, Point]): Item[] {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const along = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
  const count = Math.max(1, Math.round(length / BREAK_PITCH_MM));
  const at = (run: Mm, rise: Mm): Point => ({
    x: from.x + along.x * run + along.y * rise,
    y: from.y + along.y * run + along.x * rise,
  });
  const corners = Array.from({ length: count }, (_, index) => {
    const middle = ((index + 0.5) / count) * length;
    return [
      at(middle - 1.2, 0),
      at(middle - 0.5, -BREAK_RISE_MM),
      at(middle + 0.5, BREAK_RISE_MM),
      at(middle + 1.2, 0),
    ];
  }).flat();
  const points = [from, ...corners, to];
  return pairsInTurn(points).map((pair) => lineItem(pair, { widthMm: 0.35, black: 1 }, 'break line'));
}

/**
 * A solid line at the seal, where the body film ends, and a dashed line inside it, where the film on the glass ends.
 */
const printedGlassItems = (seal: readonly Point[], film: readonly Point[]): Item[] => [
  { kind: 'polygon', tag: 'no-film-area', points: seal, stroke: { widthMm: 0.35, black: 1 } },
  { kind: 'polygon', tag: 'glass', points: film, stroke: { widthMm: 0.35, black: 1, dashMm: [2.5, 1] } },
];

/** White, hatched, outlined: an area that stays free of film. */
export function freeAreaItems(points: readonly Point[]): Item[] {
  const tag = 'no-film-area';
  const spacing = 2.4;
  const { x, y, width, height } = pointsHull(points);
  const hatch: Item[] = [];
  // Lines u = x + y at 45°, each from where it enters the area to where it leaves it.
  const turned = points.map((point) => ({ x: point.x - point.y, y: point.x + point.y }));
  for (let u = x + y + spacing; u < x + y + width + height; u += spacing) {
    for (const { start, end } of polygonInsideAt(turned, u)) {
      hatch.push({
        kind: 'line',
        tag,
        from: { x: (u + start) / 2, y: (u - start) / 2 },
        to: { x: (u + end) / 2, y: (u - end) / 2 },
        stroke: { widthMm: 0.13, black: 1 },
      });
    }
  }
  return [
    { kind: 'polygon', tag, points, fill: PAPER },
    ...hatch,
    { kind: 'polygon', tag, points, stroke: { widthMm: 0.35, black: 1 } },
  ];
}

/** A side without its panels: outline, no-film areas and body lines, over its artwork if given. */
export function bareSideItems(
  { side, outline }: Pick<SideLayout, 'side' | 'outline'>,
  picture: Rect,
  oneTo: number,
  artwork?: RasterPicture,
): Item[] {
  const areas = side.noFilmAreas.flatMap((area) => {
    const shown = polygonClipped(areaPoints(area), outline);
    const points = shown.map(({ x, y }) => ({ x: picture.x + x / oneTo, y: picture.y + y / oneTo }));
    return points.length > 0 ? freeAreaItems(points) : [];
  });
  return [
    ...(artwork ? [{ kind: 'picture', tag: 'artwork', rect: picture, picture: artwork } as const] : []),
    ...areas,
    ...sideLines(side).flatMap((line) => bodyLineItems(line, outline, picture, oneTo)),
    { kind: 'rect', tag: 'side outline', rect: picture, stroke: THICK },
  ];
}

export function bodyLineItems(
  line: SideKeys['lines'][number]['line'],
  frame: Rect,
  picture: Rect,
  oneTo: number,
  tag: 'body line' | 'door' = 'body line',
): Item[] {
  const isVertical = line.direction === 'vertical';
  const [across, along]: [Interval, Interval] = isVertical
    ? [rectHorizontal(frame), rectVertical(frame)]
    : [rectVertical(frame), rectHorizontal(frame)];
  const visible = intervalIntersection(bodyLineExtent(line) ?? along, along);
  if (!visible) return [];
  const onSheet = (point: PathPoint): Point => {
    const at = pointOnAxis(line.direction, point);
    return { x: picture.x + (at.x - frame.x) / oneTo, y: picture.y + (at.y - frame.y) / oneTo };
  };
  if (line.shape) {
    return pathPartsWithin(linePath(line), visible, across).map((part) => ({
      kind: 'polygon',
      tag,
      points: part.map(onSheet),
      isOpen: true,
      stroke: BODY_LINE,
    }));
  }
  if (!isStrictlyWithin(line.atMm, across)) return [];
  const [from, to] = [visible.start, visible.end];
  const end = (along: Mm) => onSheet({ along, across: line.atMm });
  return [{ kind: 'line', tag, from: end(from), to: end(to), stroke: BODY_LINE }];
}

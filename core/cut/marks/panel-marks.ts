import { type Drawing, type Item, MEDIUM, type Stroke, THICK, THIN } from '../../drawing/drawing.ts';
import type { FontMetrics } from '../../drawing/font-library.ts';
import { styleOf } from '../../drawing/text-block.ts';
import type { Job } from '../../job/schema.ts';
import {
  edgeFinishedOverlap,
  type OuterEdge,
  type Panel,
  type PanelShape,
  type SeamEdge,
} from '../../layout/panel.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { tapePlaces } from '../../layout/tape-places.ts';
import { type Interval, intervalLength } from '../../measure/interval.ts';
import { edgeAxis } from '../../measure/outline.ts';
import { isPathStraight, pathValue, pointOnAxis } from '../../measure/path.ts';
import { firstOf, itemAt } from '../../measure/present.ts';
import { EDGES, type Edge, type Point, type Rect, rectBottom, rectRight } from '../../measure/rect.ts';
import { filmFromFinished } from '../../measure/spaces.ts';
import type { Mm } from '../../measure/units.ts';
import { sheetLengthWithUnit, sheetSize } from '../../sheets/sheet-length.ts';
import { type GroundTick, groundTicks } from './ground-ticks.ts';
import { hasArrows, labelMark } from './label-mark.ts';
import {
  arrowMark,
  checkBarMark,
  letterSize,
  type MarkBlock,
  textMark,
  textMarkFitted,
} from './mark-block.ts';
import {
  freeStretches,
  itemOnLane,
  lanePosition,
  laneSlot,
  laneWithTaken,
  type MarkLane,
  markLanes,
} from './mark-lane.ts';

/** Marks that a border can hold. Each item of the drawing has one as its tag, plus the edge where that matters. */
export type MarkName =
  | 'label'
  | 'top'
  | 'check-bar'
  | 'travel'
  | 'size'
  | 'body-line'
  | 'no-film-area'
  | `seam-${Edge}`
  | `neighbor-${Edge}`
  | `edge-${Edge}`;

export interface PanelMarks {
  /**
   * In film space: (0, 0) is the top left corner of the film. Drawn in black only, without pictures, never on the
   * printed image.
   */
  readonly drawing: Drawing;
  /** Marks that do not fit in the border. */
  readonly omitted: readonly MarkName[];
}

/**
 * The marks in the border of one panel: two labels with a code and arrows to top and front; ticks where seams, body
 * lines and no-film areas meet the border; what is beyond each edge and how; size, enlargement, and check bar.
 *
 * A wider border holds more. Under about 6 mm no lettering is readable, and only ticks remain; without a border, or
 * with marks switched off in the job, there are none.
 */
export function panelMarks(
  job: Job,
  layout: SideLayout,
  panel: Panel,
  shown: string,
  fonts: FontMetrics,
): PanelMarks {
  const toFilm = filmFromFinished(panel.film);
  const film = toFilm.rect(panel.film);
  const printed = toFilm.rect(panel.printed);
  const net = toFilm.rect(panel.net);
  const board = new MarkBoard(job.output.marks ? markLanes(film, printed) : []);

  for (const edge of EDGES) addEdgeTicks(board, panel, edge, net, { job, fonts });
  const subject = { job, layout, panel, shown };
  const label: BlockMaker = (lane, roomMm) => labelMark(subject, lane, roomMm, fonts);
  const labels = LABEL_PLACES.flatMap(({ edge, end }) => board.placeAtEnd(edge, end, net, label) ?? []);
  if (labels.length === 0) board.place('label', label, 'longest');
  const named = groundTicks(layout.side, panel).flatMap(([name, ticks]) =>
    ticks.flatMap((tick) => board.putGround(name, tick, toFilm.point(tick.at), fonts) ?? []),
  );
  const placed = EDGES.flatMap((edge) =>
    shapedTicks(panel, edge, job).flatMap(
      (tick) => board.putGround(`seam-${edge}`, tick, toFilm.point(tick.at), fonts) ?? [],
    ),
  );
  for (const name of placed) name();
  for (const edge of EDGES) addEdgeWords(board, layout, panel, edge, { job, fonts });
  if (!labels.some(hasArrows)) addArrows(board, layout, fonts);
  board.place('check-bar', (lane) => checkBarMark(fonts, job.displayUnit, lane, 'check-bar'), 'longest');
  board.place('size', (lane, roomMm) => sizeMark(job, panel, lane, roomMm, fonts), 'longest');
  for (const name of named) name();

  return {
    drawing: { widthMm: film.width, heightMm: film.height, items: board.items },
    omitted: [...new Set(board.omitted)],
  };
}

/** The two ends of the film's longer direction. */
const LABEL_PLACES = [
  { edge: 'top', end: 'start' },
  { edge: 'bottom', end: 'end' },
] as const;

function addArrows(board: MarkBoard, { side }: SideLayout, fonts: FontMetrics): void {
  board.place('top', (lane) => arrowMark(fonts, 'TOP', { x: 0, y: -1 }, lane, 'top'), 'top-first');
  if (side.front === 'none') return;
  const toFront: Point = { x: side.front === 'left' ? -1 : 1, y: 0 };
  board.place('travel', (lane) => arrowMark(fonts, 'FRONT', toFront, lane, 'travel'), 'top-first');
}

type BlockMaker = (lane: MarkLane, roomMm: Mm) => MarkBlock | undefined;

/** The four lanes while marks are placed in them. A mark that is left out twice is listed once. */
class MarkBoard {
  readonly items: Item[] = [];
  readonly omitted: MarkName[] = [];
  #lanes: MarkLane[];

  constructor(lanes: MarkLane[]) {
    this.#lanes = lanes;
  }

  lane(edge: Edge): MarkLane | undefined {
    return this.#lanes.find((lane) => lane.edge === edge);
  }

  /** Puts a block at a position that was already found. */
  put(lane: MarkLane, u: Mm, block: MarkBlock): void {
    this.items.push(...block.items.map((item) => itemOnLane(lane, u, item)));
    const taken: Interval = { start: u, end: u + block.lengthMm };
    this.#lanes = this.#lanes.map((other) =>
      other.edge === lane.edge ? laneWithTaken(other, taken) : other,
    );
  }

  /** Puts a mark in the first lane with room, tried by longest free stretch or from the top. */
  place(name: MarkName, make: BlockMaker, order: 'longest' | 'top-first'): void {
    if (this.#lanes.length === 0) return;
    const rank: readonly Edge[] = ['top', 'bottom', 'left', 'right'];
    const places = this.#lanes
      .flatMap((lane) => freeStretches(lane).map((free) => ({ lane, free })))
      .sort((a, b) =>
        order === 'longest'
          ? intervalLength(b.free) - intervalLength(a.free)
          : rank.indexOf(a.lane.edge) - rank.indexOf(b.lane.edge),
      );
    for (const { lane, free } of places) {
      const room = intervalLength(free);
      const block = make(lane, room);
      if (!block || block.lengthMm > room) continue;
      this.put(lane, free.start, block);
      return;
    }
    this.omitted.push(name);
  }

  /**
   * Puts a mark at one edge, at the first or last free place between its ticks; those are at the ends of the visible
   * part of the film.
   */
  placeAtEnd(edge: Edge, end: 'start' | 'end', net: Rect<'film'>, make: BlockMaker): MarkBlock | undefined {
    const lane = this.lane(edge);
    if (!lane) return undefined;
    const corners = [
      { x: net.x, y: net.y + net.height },
      { x: net.x + net.width, y: net.y },
    ].map((at) => lanePosition(lane, at));
    const within: Interval = {
      start: Math.max(0, firstOf(corners)),
      end: Math.min(lane.lengthMm, itemAt(corners, 1)),
    };
    const free = freeStretches(lane, within).sort((a, b) =>
      end === 'start' ? a.start - b.start : b.end - a.end,
    );
    for (const stretch of free) {
      const room = intervalLength(stretch);
      const block = make(lane, room);
      if (!block || block.lengthMm > room) continue;
      this.put(lane, end === 'start' ? stretch.start : stretch.end - block.lengthMm, block);
      return block;
    }
    return undefined;
  }

  /**
   * Puts a short tick beside the image, unless another mark is there. Returns a function that writes its name beside
   * it, where more important marks leave room.
   */
  putGround(
    name: MarkName,
    { edge, text, isDashed }: GroundTick,
    at: Point<'film'>,
    fonts: FontMetrics,
  ): (() => void) | undefined {
    const lane = this.lane(edge);
    if (!lane) return undefined;
    const u = lanePosition(lane, at);
    const stroke: Stroke = isDashed ? { ...MEDIUM, dashMm: [0.8, 0.8] } : MEDIUM;
    const half = stroke.widthMm / 2;
    const isOnLane = u >= half && u <= lane.lengthMm - half;
    if (!isOnLane || !isFree(lane, { start: u - half, end: u + half })) return undefined;
    const [from, to] = isImageBelow(edge) ? [lane.depthMm / 2, lane.depthMm] : [0, lane.depthMm / 2];
    const line: Item = {
      kind: 'line',
      tag: name,
      from: { x: half, y: from },
      to: { x: half, y: to },
      stroke,
    };
    this.put(lane, u - half, { lengthMm: 2 * half, items: [line] });
    return () => {
      const size = letterSize(lane.depthMm, 0.2, 5);
      const words = size && textMark(fonts, text, styleOf('regular', size), lane, name);
      if (!words) return;
      const start = u + half + 1.5;
      const stretch: Interval = { start, end: start + words.lengthMm };
      const lately = this.lane(edge);
      if (lately && stretch.end <= lane.lengthMm && isFree(lately, stretch)) this.put(lane, start, words);
    };
  }

  /** Puts a mark at one edge, as near to `middle` as there is room. */
  placeNear(name: MarkName, edge: Edge, middle: Mm, within: Interval, make: BlockMaker): void {
    const lane = this.lane(edge);
    if (!lane) return;
    const room = Math.max(0, ...freeStretches(lane, within).map(intervalLength));
    const block = make(lane, room);
    const u = block && laneSlot(lane, block.lengthMm, middle, within);
    if (block && u !== undefined) this.put(lane, u, block);
    else this.omitted.push(name);
  }
}

/** Whether the image is past the far side of the lane, in the direction of `v`. */
const isImageBelow = (edge: Edge): boolean => edge === 'top' || edge === 'left';

const BETWEEN: Readonly<Record<Edge, readonly [Edge, Edge]>> = {
  left: ['top', 'bottom'],
  right: ['top', 'bottom'],
  top: ['left', 'right'],
  bottom: ['left', 'right'],
};

/**
 * Draws the line of an edge where it meets the border at both ends: heavy for a seam, with what is done there; thin for
 * the outline of the side. Keeps MK5.
 */
function addEdgeTicks(
  board: MarkBoard,
  panel: Panel,
  edge: Edge,
  net: Rect<'film'>,
  { job, fonts }: { readonly job: Job; readonly fonts: FontMetrics },
): void {
  const panelEdge = panel.edges[edge];
  const isSeam = panelEdge.kind === 'seam';
  const at: Point<'film'> = {
    x: edge === 'left' ? net.x : net.x + net.width,
    y: edge === 'top' ? net.y : net.y + net.height,
  };
  const name: MarkName = isSeam ? `seam-${edge}` : `edge-${edge}`;
  for (const end of BETWEEN[edge]) {
    const lane = board.lane(end);
    if (!lane) continue;
    const u = lanePosition(lane, panel.shape ? shapedEnd(panel, panel.shape, edge, end) : at);
    const stroke = isSeam ? seamTickStroke(panelEdge) : THIN;
    const half = stroke.widthMm / 2;
    if (u < half || u > lane.lengthMm - half) {
      board.omitted.push(name);
      continue;
    }
    board.put(lane, u - half, tickBlock(lane, half, stroke, name));
    if (!isSeam) continue;

    const size = letterSize(lane.depthMm, 0.2, 5);
    if (size === undefined) continue;
    const words = textMark(fonts, tickWords(panelEdge, job), styleOf('regular', size), lane, name);
    // The words are on the panel's own side of its seam, where a neighbor's border cannot cover them.
    const isOwnSideBefore = lane.isTurned ? edge === 'top' : edge === 'right';
    const gap = 1.5;
    const start = isOwnSideBefore ? u - half - gap - words.lengthMm : u + half + gap;
    const stretch: Interval = { start, end: start + words.lengthMm };
    if (start >= 0 && stretch.end <= lane.lengthMm && isFree(lane, stretch)) board.put(lane, start, words);
  }
}

/** Where a shaped edge of a panel leaves the image at one end. */
function shapedEnd({ film, printed }: Panel, { edges }: PanelShape, edge: Edge, end: Edge): Point<'film'> {
  const ends = { top: printed.y, right: rectRight(printed), bottom: rectBottom(printed), left: printed.x };
  const point = { along: ends[end], across: pathValue(edges[edge], ends[end]) };
  return filmFromFinished(film).point(pointOnAxis(edgeAxis(edge), point));
}

/** Ticks in the border along a shaped edge, each with the distance of the line from the image's border there. */
function shapedTicks(panel: Panel, edge: Edge, job: Job): readonly GroundTick[] {
  const { shape, printed } = panel;
  if (panel.edges[edge].kind === 'outer' || !shape || isPathStraight(shape.edges[edge])) return [];
  const ends = { top: printed.y, right: rectRight(printed), bottom: rectBottom(printed), left: printed.x };
  return tapePlaces(shape.edges[edge], shape.finished.spans[edge]).map(({ along, across }) => ({
    edge,
    at: pointOnAxis(edgeAxis(edge), { along, across: ends[edge] }),
    text: `LINE ${sheetLengthWithUnit(Math.abs(across - ends[edge]), job.displayUnit)} IN`,
    isDashed: false,
  }));
}

/**
 * Thick enough to be found with gloves on. Dashed where another panel will cover the film, unlike lines to cut along.
 */
const seamTickStroke = ({ lies }: SeamEdge): Stroke =>
  lies === 'under' ? { ...THICK, dashMm: [2.4, 1.2] } : THICK;

/** Ticks are placed first, so only other ticks and their words can be in the way. */
const isFree = (lane: MarkLane, stretch: Interval): boolean =>
  lane.taken.every((used) => stretch.end + 0.5 <= used.start || stretch.start - 0.5 >= used.end);

function tickBlock(lane: MarkLane, u: Mm, stroke: Stroke, tag: string): MarkBlock {
  const line: Item = { kind: 'line', tag, from: { x: u, y: 0 }, to: { x: u, y: lane.depthMm }, stroke };
  return { lengthMm: 2 * u, items: [line] };
}

/** What the line of a seam means on this panel: the position of its own edge, or how far the next panel covers it. */
function tickWords(edge: SeamEdge, job: Job): string {
  switch (edge.lies) {
    case 'under':
      return 'COVERED TO HERE';
    case 'apart':
      return `WRAP ${sheetLengthWithUnit(edge.allowanceMm, job.displayUnit)} FROM HERE`;
    case 'over':
    case 'edge-to-edge':
      return edge.trim === 'none' ? 'EDGE HERE' : 'TRIM HERE';
  }
}

/** In the border of an edge: which panel is beyond it and which is on top, or how much is trimmed. */
function addEdgeWords(
  board: MarkBoard,
  layout: SideLayout,
  panel: Panel,
  edge: Edge,
  { job, fonts }: { readonly job: Job; readonly fonts: FontMetrics },
): void {
  const panelEdge = panel.edges[edge];
  const lane = board.lane(edge);
  if (!lane) return;
  const toFilm = filmFromFinished(panel.film);
  const position = (along: Mm): Mm => {
    const isTurned = edge === 'left' || edge === 'right';
    const at = isTurned ? { x: panel.net.x, y: along } : { x: along, y: panel.net.y };
    return lanePosition(lane, toFilm.point(at));
  };
  const words = (text: string, name: MarkName) => (on: MarkLane, roomMm: Mm) => {
    const size = letterSize(on.depthMm, 0.28, 7);
    return size === undefined
      ? undefined
      : textMarkFitted(fonts, text, styleOf('bold', size), on, { roomMm, tag: name });
  };

  if (panelEdge.kind === 'outer') {
    const name: MarkName = `edge-${edge}`;
    const whole: Interval = { start: 0, end: lane.lengthMm };
    const text = outerWords(panel, panelEdge, job);
    board.placeNear(name, edge, lane.lengthMm / 2, whole, words(text, name));
    return;
  }
  const name: MarkName = `neighbor-${edge}`;
  const stretches = panelEdge.neighbors.map(({ panelId, along }) => {
    const [a, b] = [position(along.start), position(along.end)];
    return { panelId, start: Math.min(a, b), end: Math.max(a, b) };
  });
  for (const { start } of stretches.filter(({ start }) =>
    stretches.some(({ end }) => Math.abs(end - start) < 1),
  )) {
    const half = THIN.widthMm;
    if (start > half && isFree(lane, { start: start - half, end: start + half })) {
      board.put(lane, start - half, tickBlock(lane, half, THIN, name));
    }
  }
  for (const stretch of stretches) {
    const neighbor = layout.panels.find(({ id }) => id === stretch.panelId);
    if (!neighbor) continue;
    const text = neighborWords(panelEdge, neighbor.label, job);
    board.placeNear(name, edge, (stretch.start + stretch.end) / 2, stretch, words(text, name));
  }
}

function neighborWords(edge: SeamEdge, neighbor: string, job: Job): string {
  const shopTrim = edge.trim === 'shop' ? ' · TRIM IN SHOP' : '';
  const overlap = sheetLengthWithUnit(edgeFinishedOverlap(edge), job.displayUnit);
  switch (edge.lies) {
    case 'over':
      return `THIS GOES OVER ${neighbor} · FINISHED OVERLAP ${overlap}${shopTrim}`;
    case 'under':
      return `THIS GOES UNDER ${neighbor} · FINISHED OVERLAP ${overlap}`;
    case 'edge-to-edge':
      return `MEETS ${neighbor} EDGE TO EDGE${shopTrim}`;
    case 'apart':
      return `GAP, THEN ${neighbor}${shopTrim}`;
  }
}

function outerWords({ glass }: Panel, { allowanceMm, trim }: OuterEdge, job: Job): string {
  const length = (mm: Mm) => sheetLengthWithUnit(mm, job.displayUnit);
  if (glass) return `GLASS · BLEED ${length(allowanceMm)} · TRIM ${length(glass.sealMm)} OFF SEAL`;
  if (trim === 'shop') return 'OUTER EDGE · TRIM IN SHOP';
  return `OUTER EDGE · BLEED ${length(allowanceMm)}`;
}

function sizeMark(
  job: Job,
  panel: Panel,
  lane: MarkLane,
  roomMm: Mm,
  fonts: FontMetrics,
): MarkBlock | undefined {
  const size = letterSize(lane.depthMm, 0.24, 6);
  if (size === undefined) return undefined;
  const visible = `${panel.shape ? 'VISIBLE UP TO' : 'TICK TO TICK'} ${sheetSize(panel.net, job.displayUnit)}`;
  const text = `${visible} · PRINTED ${sheetSize(panel.printed, job.displayUnit)} ${job.displayUnit}`;
  const style = styleOf('regular', size);
  const whole = textMark(fonts, text, style, lane, 'size');
  return whole.lengthMm <= roomMm
    ? whole
    : textMark(fonts, `${visible} ${job.displayUnit}`, style, lane, 'size');
}

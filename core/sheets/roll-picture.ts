/**
 * A row of a roll drawn sideways, turned by 90° and not mirrored: the start of the film is on the left, its left edge
 * at the bottom:
 *
 *        LH-07                      lead-outs, for panels too narrow for their number
 *     ┌────┴──┬─────────────┬──▷    continues in the next row
 *     │◂      │▴            │
 *     │ LH-01 │    LH-02    │       ◂ ▴ the panel's top edge: to the left upright, upwards turned
 *     └───────┴─────────────┴──▷
 *     0   .   .   .   .   5 m       film from its start
 */

import {
  BLACK,
  CAP_HEIGHT,
  type Fill,
  type Item,
  LINE_PITCH,
  MEDIUM,
  PAPER,
  type Stroke,
  TEXT_ASCENT,
  THIN,
} from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { sizeFromCap, styleOf, textFitted, textLine } from '../drawing/text-block.ts';
import { firstOf, itemAt } from '../measure/present.ts';
import { type Point, type Rect, rectIntersection, rectPoints } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { cutLines } from '../rolls/print-strips.ts';
import type { PlacedPanel } from '../rolls/roll-use.ts';
import type { FlowPiece } from './flow.ts';
import { leadOutLevels } from './lead-outs.ts';
import type { RollRow } from './roll-rows.ts';
import { rulerTicks } from './roll-ruler.ts';
import type { DisplayUnit } from './sheet-length.ts';
import { freeAreaItems } from './side-picture.ts';

/** Room beside a row for the continuation marks and the numbers of the ruler. */
export const ROW_MARGIN_MM: Mm = 5;
const RULER_MM: Mm = 5.5;
const ROW_GAP_MM: Mm = 1.5;
const LEVEL_MM: Mm = 4.2;
const LEAD_OUT_STYLE = styleOf('bold', 3.2);
const MIN_LABEL_MM: Mm = 3;
const LARGEST_LABEL_MM: Mm = sizeFromCap(4);
const TOP_MARK_MM: Mm = 1.8;
const NUMBERS_APART_MM: Mm = 14;
export const CUT_NUMBER_STYLE = styleOf('regular', 2.6);
/** Positions of a cut's number along its line, tried in this order before others. */
const CUT_NUMBER_SHARES = [0.5, 0.25, 0.75, 0.35, 0.65, 0.15, 0.85, 0.08, 0.92];

/** Positions of numbers one after another past the end of a line. */
const BEYOND_STEPS = Array.from({ length: 16 }, (_, index) => index);

export const CUT_STROKE: Stroke = { widthMm: 0.25, black: 1, dashMm: [2, 1] };
/** Film without content. */
export const FILM_LEFT: Fill = { black: 0.16 };

export interface RowStyle {
  readonly fonts: FontMetrics;
  readonly oneTo: number;
  readonly unit: DisplayUnit;
}

/** Room that the widest lead-out may need to the right of a row; 0 where every panel has room for its number. */
export function leadOutRoom(row: RollRow, style: RowStyle): Mm {
  return leadOuts(row, style, 0).reduce((widest, { widthMm }) => Math.max(widest, widthMm), 0);
}

/** A row with its ruler; the row begins `ROW_MARGIN_MM` from the left. */
export function rollRowPiece(row: RollRow, style: RowStyle): FlowPiece {
  const levels = Math.max(0, ...leadOuts(row, style, 0).map(({ level }) => level + 1));
  const aboveMm = levels * LEVEL_MM + (levels > 0 ? 0.8 : 0);
  const filmMm = row.roll.widthMm / style.oneTo;
  return {
    heightMm: aboveMm + filmMm + RULER_MM + ROW_GAP_MM,
    draw(x, y) {
      const film: Rect = {
        x: x + ROW_MARGIN_MM,
        y: y + aboveMm,
        width: (row.toMm - row.fromMm) / style.oneTo,
        height: filmMm,
      };
      return [
        ...filmItems(row, film, style.oneTo),
        ...row.bands.flatMap(({ panels }) =>
          panels.flatMap((panel) => panelItems(panel, panelRect(row, panel, film, style.oneTo), style.fonts)),
        ),
        ...cutItems(row, film, style),
        ...edgeItems(row, film),
        ...leadOutItems(row, film, style),
        ...cutNumberItems(row, film, style),
        ...rulerItems(row, film, style),
      ];
    },
  };
}

/** Converts film coordinates to the sheet. */
function onSheet(row: RollRow, film: Rect, oneTo: number) {
  return (alongMm: Mm, acrossMm: Mm, lengthMm: Mm, widthMm: Mm): Rect => ({
    x: film.x + (alongMm - row.fromMm) / oneTo,
    y: film.y + (row.roll.widthMm - acrossMm - widthMm) / oneTo,
    width: lengthMm / oneTo,
    height: widthMm / oneTo,
  });
}

const panelRect = (row: RollRow, { place, size }: PlacedPanel, film: Rect, oneTo: number): Rect =>
  onSheet(row, film, oneTo)(place.yMm, place.xMm, size.along, size.across);

function filmItems(row: RollRow, film: Rect, oneTo: number): Item[] {
  const { roll, use } = row;
  const place = onSheet(row, film, oneTo);
  const idle = [
    ...(row.isFirst ? [place(0, 0, roll.leadInMm, roll.widthMm)] : []),
    ...(row.isLast ? [place(use.usedLengthMm - roll.tailMm, 0, roll.tailMm, roll.widthMm)] : []),
  ];
  return [
    { kind: 'rect', tag: `roll ${roll.id}`, rect: film, fill: FILM_LEFT },
    ...idle.filter(({ width }) => width > 0).flatMap((rect) => freeAreaItems(rectPoints(rect))),
  ];
}

/** The edges of the film; the end of a row is open where the roll continues. */
function edgeItems({ roll, isFirst, isLast }: RollRow, film: Rect): Item[] {
  const tag = `roll ${roll.id}`;
  const [left, right, top, bottom] = [film.x, film.x + film.width, film.y, film.y + film.height];
  const line = (x0: Mm, y0: Mm, x1: Mm, y1: Mm): Item => ({
    kind: 'line',
    tag,
    from: { x: x0, y: y0 },
    to: { x: x1, y: y1 },
    stroke: MEDIUM,
  });
  const middle = film.y + film.height / 2;
  return [
    line(left, top, right, top),
    line(left, bottom, right, bottom),
    isFirst ? line(left, top, left, bottom) : goesOn({ x: left - 3.8, y: middle }, tag),
    isLast ? line(right, top, right, bottom) : goesOn({ x: right + 1.2, y: middle }, tag),
  ];
}

/** A mark at the end of a row that continues in the next. */
const goesOn = ({ x, y }: Point, tag: string): Item => ({
  kind: 'polygon',
  tag: `${tag} goes on`,
  points: [
    { x, y: y - 2 },
    { x: x + 2.6, y },
    { x, y: y + 2 },
  ],
  fill: BLACK,
});

function cutItems(row: RollRow, film: Rect, { oneTo }: RowStyle): Item[] {
  const place = onSheet(row, film, oneTo);
  const { widthMm, id } = row.roll;
  const across = cutLines(row.use.bands, widthMm).acrossAtMm.filter(
    (at) => at >= row.fromMm && at <= row.toMm,
  );
  return [
    ...across.map((at) => place(at, 0, 0, widthMm)),
    ...linesWithinBands(row, film, oneTo).map(({ rect }) => rect),
  ].map(
    ({ x, y, width, height }): Item => ({
      kind: 'line',
      tag: `roll ${id}`,
      from: { x, y },
      to: { x: x + width, y: y + height },
      stroke: CUT_STROKE,
    }),
  );
}

/** Cuts inside bands, as rectangles without width. */
function linesWithinBands(row: RollRow, film: Rect, oneTo: number) {
  const place = onSheet(row, film, oneTo);
  return cutLines(row.bands, row.roll.widthMm).withinBands.map(({ way, atMm, fromMm, toMm, number }) => ({
    rect: way === 'across' ? place(atMm, fromMm, 0, toMm - fromMm) : place(fromMm, atMm, toMm - fromMm, 0),
    number,
  }));
}

/** Numbers of cuts where their order matters. A short line has the fewest places for its number, so it comes first. */
function cutNumberItems(row: RollRow, film: Rect, { oneTo, fonts }: RowStyle): Item[] {
  // The text above the film, and the ruler below it.
  const outside: Rect[] = [
    { ...film, y: film.y - LEVEL_MM, height: LEVEL_MM - 1 },
    { ...film, y: film.y + film.height + 1, height: RULER_MM },
  ];
  const numbers = row.bands.flatMap(({ panels }) =>
    panels.flatMap((panel) => numberBox(panel, panelRect(row, panel, film, oneTo), fonts) ?? []),
  );
  const taken = [...outside, ...numbers];
  const length = ({ rect }: { readonly rect: Rect }): Mm => rect.width + rect.height;
  return linesWithinBands(row, film, oneTo)
    .toSorted((a, b) => length(a) - length(b))
    .flatMap(({ rect, number }) =>
      number === undefined ? [] : cutNumber(number, rect, taken, fonts, `cut on roll ${row.roll.id}`),
    );
}

/** The number of a cut, on its line or led out of its end, where it covers no other number; it is added to `taken`. */
function cutNumber(number: number, line: Rect, taken: Rect[], fonts: FontMetrics, tag: string): Item[] {
  const text = String(number);
  const { sizeMm } = CUT_NUMBER_STYLE;
  const width = fonts.width(text, CUT_NUMBER_STYLE.role, sizeMm) + 0.8;
  const height = sizeMm * 0.95;
  const boxAt = (share: number, shiftMm: Mm): Rect => ({
    x: line.x + line.width * share - width / 2 + (line.width === 0 ? shiftMm : 0),
    y: line.y + line.height * share - height / 2 + (line.width === 0 ? 0 : shiftMm),
    width,
    height,
  });
  const boxes = [0, 1, -1, 2, -2].flatMap((side) =>
    CUT_NUMBER_SHARES.map((share) => boxAt(share, side * (line.width === 0 ? width : height) * 0.6)),
  );
  // Next to the line, farther along the roll, where short lines are closer than their numbers are wide.
  const end = { x: line.x + line.width, y: line.y + line.height / 2 };
  const beyond = BEYOND_STEPS.map(
    (step): Rect => ({ x: end.x + 0.8 + step * (width + 0.8), y: end.y - height / 2, width, height }),
  );
  const isFree = (box: Rect) =>
    taken.every((other) => rectIntersection(growth(box, 0.6), other) === undefined);
  const box = [...boxes, ...beyond].find(isFree) ?? firstOf(boxes);
  taken.push(box);
  const leadOut: Item[] = beyond.includes(box)
    ? [{ kind: 'line', tag, from: end, to: { ...end, x: box.x }, stroke: THIN }]
    : [];
  const at = { x: box.x + width / 2, y: box.y + height / 2 + (sizeMm * CAP_HEIGHT) / 2 };
  return [
    ...leadOut,
    { kind: 'rect', tag, rect: box, fill: PAPER, stroke: THIN },
    textLine(fonts, text, CUT_NUMBER_STYLE, { at, anchor: 'middle', tag }),
  ];
}

const growth = ({ x, y, width, height }: Rect, by: Mm): Rect => ({
  x: x - by,
  y: y - by,
  width: width + 2 * by,
  height: height + 2 * by,
});

const tagOf = (label: string): string => `panel on roll ${label}`;

/** A panel with the mark at its top edge and, if there is room, its number. */
function panelItems({ item, place }: PlacedPanel, rect: Rect, fonts: FontMetrics): Item[] {
  const tag = tagOf(item.label);
  const items: Item[] = [
    { kind: 'rect', tag, rect, fill: PAPER, stroke: THIN },
    topMark({ x: rect.x, y: rect.y }, place.turned, tag),
  ];
  const number = numberInside(item.label, rect, fonts);
  if (!number) return items;
  const { sizeMm, isUpright, room } = number;
  const center = { x: room.x + room.width / 2, y: room.y + room.height / 2 };
  const drop = (sizeMm * CAP_HEIGHT) / 2;
  const at = isUpright ? { x: center.x + drop, y: center.y } : { x: center.x, y: center.y + drop };
  const turn = isUpright ? 90 : 0;
  return [
    ...items,
    textLine(fonts, item.label, styleOf('bold', sizeMm), { at, anchor: 'middle', turn, tag }),
  ];
}

/** Points to the top edge of a panel; in its upper left corner on the sheet. */
export function topMark({ x, y }: Point, isTurned: boolean, tag: string): Item {
  const side = TOP_MARK_MM;
  const points = isTurned
    ? [
        { x: x + 0.3 + side / 2, y: y + 0.3 },
        { x: x + 0.3 + side, y: y + 0.3 + side },
        { x: x + 0.3, y: y + 0.3 + side },
      ]
    : [
        { x: x + 0.3, y: y + 0.3 + side / 2 },
        { x: x + 0.3 + side, y: y + 0.3 },
        { x: x + 0.3 + side, y: y + 0.3 + side },
      ];
  return { kind: 'polygon', tag: `${tag} top`, points, fill: BLACK };
}

interface NumberPlace {
  readonly sizeMm: Mm;
  /** Read from bottom to top. */
  readonly isUpright: boolean;
  readonly room: Rect;
}

/**
 * The place of the largest number in its panel, level rather than upright; undefined where it would be too small to
 * read. It leaves out the column or the row of the mark in the upper left corner.
 */
function numberInside(label: string, rect: Rect, fonts: FontMetrics): NumberPlace | undefined {
  const { x, y, width, height } = rect;
  const besideMark: Rect = { x: x + TOP_MARK_MM, y, width: width - TOP_MARK_MM, height };
  const belowMark: Rect = { x, y: y + TOP_MARK_MM, width, height: height - TOP_MARK_MM };
  const places = [
    { room: besideMark, isUpright: false },
    { room: belowMark, isUpright: false },
    { room: belowMark, isUpright: true },
  ].flatMap(({ room, isUpright }): NumberPlace[] => {
    const [along, across] = isUpright ? [room.height, room.width] : [room.width, room.height];
    const largest = Math.min(LARGEST_LABEL_MM, (across - 0.6) / 1.1);
    if (largest < MIN_LABEL_MM) return [];
    const fitted = textFitted(fonts, label, styleOf('bold', largest), along - 1.5, MIN_LABEL_MM);
    return fitted && !fitted.isCut ? [{ sizeMm: fitted.style.sizeMm, isUpright, room }] : [];
  });
  return places.reduce<NumberPlace | undefined>(
    (best, place) => (best && best.sizeMm >= place.sizeMm - 0.3 ? best : place),
    undefined,
  );
}

/** The room for the number inside a panel. */
function numberBox({ item: { label } }: PlacedPanel, rect: Rect, fonts: FontMetrics): Rect | undefined {
  const number = numberInside(label, rect, fonts);
  if (!number) return undefined;
  const { sizeMm, isUpright, room } = number;
  const long = fonts.width(fonts.printable(label), 'bold', sizeMm);
  const high = sizeMm * LINE_PITCH;
  const [width, height] = isUpright ? [high, long] : [long, high];
  return { x: room.x + (room.width - width) / 2, y: room.y + (room.height - height) / 2, width, height };
}

interface PanelLeadOut {
  readonly label: string;
  readonly xMm: Mm;
  readonly yMm: Mm;
  readonly widthMm: Mm;
  readonly level: number;
}

/** Numbers that have no room in their panels; `leftMm` and the y of the panels are relative to the row's film. */
function leadOuts(row: RollRow, { fonts, oneTo }: RowStyle, leftMm: Mm): PanelLeadOut[] {
  const film = { x: leftMm, y: 0, width: 0, height: 0 };
  const found = row.bands.flatMap(({ panels }) =>
    panels.flatMap((panel) => {
      const { label } = panel.item;
      const rect = panelRect(row, panel, film, oneTo);
      if (numberInside(label, rect, fonts)) return [];
      const widthMm = fonts.width(fonts.printable(label), 'bold', LEAD_OUT_STYLE.sizeMm) + 1.8;
      return [{ label, xMm: rect.x + rect.width / 2, yMm: rect.y + rect.height / 2, widthMm }];
    }),
  );
  const levels = leadOutLevels(found);
  return found.map((leadOut, index) => ({ ...leadOut, level: itemAt(levels, index) }));
}

function leadOutItems(row: RollRow, film: Rect, style: RowStyle): Item[] {
  return leadOuts(row, style, film.x).flatMap(({ label, xMm, yMm, level }): Item[] => {
    const tag = tagOf(label);
    const foot = film.y - 0.8 - level * LEVEL_MM;
    const top = foot - LEVEL_MM + 0.6;
    const panel = { x: xMm, y: film.y + yMm };
    const at = { x: xMm + 0.8, y: top + LEAD_OUT_STYLE.sizeMm * TEXT_ASCENT };
    return [
      { kind: 'line', tag, from: { x: xMm, y: top }, to: panel, stroke: THIN },
      { kind: 'circle', tag, center: panel, radiusMm: 0.5, fill: BLACK },
      textLine(style.fonts, label, LEAD_OUT_STYLE, { at, tag }),
    ];
  });
}

function rulerItems(row: RollRow, film: Rect, { fonts, oneTo, unit }: RowStyle): Item[] {
  const tag = `ruler ${row.roll.id}`;
  const bottom = film.y + film.height;
  const style = styleOf('regular', 3);
  return rulerTicks(row.fromMm, row.toMm, NUMBERS_APART_MM * oneTo, unit).flatMap(
    ({ atMm, text }): Item[] => {
      const x = film.x + (atMm - row.fromMm) / oneTo;
      const tick: Item = {
        kind: 'line',
        tag,
        from: { x, y: bottom },
        to: { x, y: bottom + (text === undefined ? 1 : 1.8) },
        stroke: THIN,
      };
      if (text === undefined) return [tick];
      const at = { x, y: bottom + 1.8 + style.sizeMm * TEXT_ASCENT };
      return [tick, textLine(fonts, text, style, { at, anchor: 'middle', tag })];
    },
  );
}

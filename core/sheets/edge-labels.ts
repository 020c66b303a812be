import {
  CAP_HEIGHT,
  type Item,
  LINE_PITCH,
  type Stroke,
  TEXT_ASCENT,
  TEXT_DESCENT,
  type Turn,
} from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { sizeFromCap, styleOf, type TextStyle, textFitted, textLine } from '../drawing/text-block.ts';
import { itemAt } from '../measure/present.ts';
import type { Edge, Point, Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

/** A note at the outline of a picture, with a thin line to its place. */
export interface EdgeLabel {
  readonly edge: Edge;
  /** Position on the edge, in finished mm from the picture's left or top. */
  readonly atMm: Mm;
  /** `S1`, small, before the figure. */
  readonly lead?: string;
  /** A tape distance, or a name. */
  readonly figure: string;
  /** `from front`, small, after the figure. */
  readonly tail?: string;
  readonly isStrong: boolean;
  /** A longer name is cut short, because the list of body lines has it in full. Distances are never cut. */
  readonly mostMm: Mm;
}

/** Layout of the labels of one picture. */
export interface LabelWay {
  /** Em size of figures. */
  readonly sizeMm: Mm;
  /**
   * Labels of the top and bottom edges are horizontal, above each other where needed; those of other edges are turned.
   */
  readonly isFlat: boolean;
}

const LEADER_MM: Mm = 4;
/**
 * Largest first; the labels of an edge share one size. Capitals of 5 mm are read from 2 m (about 1/400 of the distance,
 * common practice, no source); the smaller sizes are for small sheets and many seams.
 */
export const EDGE_LABEL_SIZES: readonly Mm[] = [sizeFromCap(5), sizeFromCap(4), 5, 4.2, 3.5, 3];
/** Size limit for labels that are not figures. */
const WORD_SIZE_MM: Mm = 4.2;
/** Room for the line of the outline. */
const BARE_BAND_MM: Mm = 1.6;
const LEADER: Stroke = { widthMm: 0.18, black: 1 };
/** More levels of flat labels would take too much of the sheet from the picture. */
const MAX_LEVELS = 3;
const WORD_GAP = 0.28;

interface Run {
  readonly text: string;
  readonly style: TextStyle;
  readonly widthMm: Mm;
}

interface SetLabel {
  /** Printed above the figure at the left and right edges, where width is scarce. */
  readonly above: Run | undefined;
  readonly runs: readonly Run[];
  readonly widthMm: Mm;
  readonly gapMm: Mm;
}

function labelSet(fonts: FontMetrics, label: EdgeLabel, sizeMm: Mm): SetLabel {
  const { edge, lead, figure, tail, isStrong, mostMm } = label;
  const run = (text: string, style: TextStyle): Run => {
    const printable = fonts.printable(text);
    return { text: printable, style, widthMm: fonts.width(printable, style.role, style.sizeMm) };
  };
  const wordMm = Math.min(sizeMm, WORD_SIZE_MM);
  const words = (text: string | undefined) => (text ? [run(text, styleOf('bold', wordMm))] : []);
  const named = () => {
    const style = styleOf('regular', wordMm);
    return textFitted(fonts, figure, style, mostMm, wordMm) ?? { text: '…', style };
  };
  const main = isStrong ? run(figure, styleOf('bold', sizeMm)) : run(named().text, named().style);
  const isStacked = lead !== undefined && !isLevelEdge(edge) && sizeMm > WORD_SIZE_MM;
  const runs = [...(isStacked ? [] : words(lead)), main, ...words(tail)];
  const above = isStacked ? words(lead)[0] : undefined;
  const gapMm = wordMm * WORD_GAP;
  const lineMm = runs.reduce((sum, each) => sum + each.widthMm, 0) + gapMm * (runs.length - 1);
  return { above, runs, widthMm: Math.max(lineMm, above?.widthMm ?? 0), gapMm };
}

const isLevelEdge = (edge: Edge): boolean => edge === 'top' || edge === 'bottom';

/** Depth of the label band of an edge outside a picture of this length; infinite where they cannot be set this way. */
export function edgeBandDepth(
  fonts: FontMetrics,
  labels: readonly EdgeLabel[],
  edge: Edge,
  { sizeMm, isFlat }: LabelWay,
  picture: { readonly oneTo: number; readonly lengthMm: Mm },
): Mm {
  const own = labelsOf(labels, edge);
  if (own.length === 0) return BARE_BAND_MM;
  if (isFlat && isLevelEdge(edge)) {
    const flat = flatLabels(fonts, own, sizeMm, 0, picture);
    if (!flat) return Number.POSITIVE_INFINITY;
    const levels = 1 + Math.max(...flat.map(({ level }) => level));
    return LEADER_MM + levels * sizeMm * LINE_PITCH;
  }
  return LEADER_MM + Math.max(...own.map((label) => labelSet(fonts, label, sizeMm).widthMm)) + 0.5;
}

const labelsOf = (labels: readonly EdgeLabel[], edge: Edge): EdgeLabel[] =>
  labels.filter((label) => label.edge === edge).toSorted((a, b) => a.atMm - b.atMm);

interface FlatLabel {
  readonly set: SetLabel;
  readonly xMm: Mm;
  readonly startMm: Mm;
  readonly level: number;
}

/** Labels beside their lines, raised above those they would cover; undefined where they would need too many levels. */
function flatLabels(
  fonts: FontMetrics,
  own: readonly EdgeLabel[],
  sizeMm: Mm,
  fromMm: Mm,
  { oneTo, lengthMm }: { readonly oneTo: number; readonly lengthMm: Mm },
): readonly FlatLabel[] | undefined {
  const placed = own.map((label) => {
    const set = labelSet(fonts, label, sizeMm);
    const xMm = fromMm + label.atMm / oneTo;
    const startMm = Math.max(fromMm, Math.min(xMm + 1, fromMm + lengthMm - set.widthMm));
    return { set, xMm, startMm, endMm: startMm + set.widthMm };
  });
  const isUnder = (low: (typeof placed)[number], high: (typeof placed)[number]) =>
    low.xMm > high.startMm - 1.5 && low.xMm < high.endMm + 1;
  const levels = placed.map(() => 0);
  for (let round = 0; round <= placed.length; round += 1) {
    let isSettled = true;
    for (const [index, high] of placed.entries()) {
      for (const [other, low] of placed.entries()) {
        const isTouching = high.startMm < low.endMm + 2 && low.startMm < high.endMm + 2;
        if (index === other || !isTouching) continue;
        // The line of the lower label may not cross the upper one; otherwise, of two that touch, the left one is
        // raised.
        const isAbove = isUnder(low, high) || (!isUnder(high, low) && high.xMm < low.xMm);
        if (isAbove && itemAt(levels, index) <= itemAt(levels, other)) {
          levels[index] = itemAt(levels, other) + 1;
          isSettled = false;
        }
      }
    }
    if (isSettled) return placed.map((label, index) => ({ ...label, level: itemAt(levels, index) }));
    if (Math.max(...levels) >= MAX_LEVELS) return undefined;
  }
  return undefined;
}

/**
 * The labels of one edge of a picture, moved apart where they would touch. Where even the smallest lettering does not
 * fit, every other label is left out, because the tables have them all.
 */
export function edgeLabelItems(
  fonts: FontMetrics,
  labels: readonly EdgeLabel[],
  edge: Edge,
  { picture, oneTo }: { readonly picture: Rect; readonly oneTo: number },
  { sizeMm: largestMm, isFlat }: LabelWay,
): Item[] {
  let own = labelsOf(labels, edge);
  if (isFlat && isLevelEdge(edge)) return flatLabelItems(fonts, own, edge, { picture, oneTo }, largestMm);
  const isTurned = isLevelEdge(edge);
  const start = isTurned ? picture.x : picture.y;
  const length = isTurned ? picture.width : picture.height;
  while (own.length > 0) {
    for (const sizeMm of EDGE_LABEL_SIZES.filter((size) => size <= largestMm)) {
      const hasStacked = own.some((label) => labelSet(fonts, label, sizeMm).above);
      const pitch = sizeMm * LINE_PITCH + (hasStacked ? WORD_SIZE_MM + 0.6 : 0);
      const wanted = own.map(({ atMm }) => start + atMm / oneTo);
      const spread = positionsSpread(wanted, pitch, start + pitch / 2 - 1, start + length - pitch / 2 + 1);
      if (!spread) continue;
      return own.flatMap((label, index) =>
        labelItems(fonts, label, sizeMm, picture, {
          wanted: itemAt(wanted, index),
          placed: itemAt(spread, index),
        }),
      );
    }
    own = own.filter((_, index) => index % 2 === 0 && own.length > 1);
  }
  return [];
}

function flatLabelItems(
  fonts: FontMetrics,
  own: readonly EdgeLabel[],
  edge: Edge,
  { picture, oneTo }: { readonly picture: Rect; readonly oneTo: number },
  sizeMm: Mm,
): Item[] {
  const tag = `edge label ${edge}`;
  const flat = flatLabels(fonts, own, sizeMm, picture.x, { oneTo, lengthMm: picture.width }) ?? [];
  return flat.flatMap(({ set, xMm, startMm, level }): Item[] => {
    const way = edge === 'top' ? -1 : 1;
    const from = edge === 'top' ? picture.y : picture.y + picture.height;
    const near = from + way * (LEADER_MM - 1 + level * sizeMm * LINE_PITCH);
    const baseline = edge === 'top' ? near - 0.6 : near + 0.6 + sizeMm * CAP_HEIGHT;
    const isBeside = startMm > xMm;
    const end = isBeside ? near + way * sizeMm * CAP_HEIGHT : near;
    const line: Item = {
      kind: 'line',
      tag,
      from: { x: xMm, y: from + way * 0.5 },
      to: { x: xMm, y: end },
      stroke: LEADER,
    };
    return [line, ...runItems(fonts, set, (along) => ({ x: startMm + along, y: baseline }), 0, tag)];
  });
}

function runItems(
  fonts: FontMetrics,
  { runs, gapMm }: SetLabel,
  at: (along: Mm) => Point,
  turn: Turn,
  tag: string,
): Item[] {
  let along = 0;
  return runs.map(({ text, style, widthMm }) => {
    const item = textLine(fonts, text, style, { at: at(along), turn, tag });
    along += widthMm + gapMm;
    return item;
  });
}

/**
 * Moves sorted positions at least `pitch` apart within [from, to], in one pass forward and one back. Undefined where
 * there is no room: `n` positions need (n − 1) × pitch.
 */
export function positionsSpread(
  wanted: readonly Mm[],
  pitch: Mm,
  from: Mm,
  to: Mm,
): readonly Mm[] | undefined {
  if ((wanted.length - 1) * pitch > to - from) return undefined;
  const placed: Mm[] = [];
  for (const at of wanted)
    placed.push(Math.max(at, from, (placed.at(-1) ?? Number.NEGATIVE_INFINITY) + pitch));
  let limit = to;
  for (let i = placed.length - 1; i >= 0; i -= 1) {
    placed[i] = Math.min(itemAt(placed, i), limit);
    limit = itemAt(placed, i) - pitch;
  }
  return placed;
}

function labelItems(
  fonts: FontMetrics,
  label: EdgeLabel,
  sizeMm: Mm,
  picture: Rect,
  { wanted, placed }: { readonly wanted: Mm; readonly placed: Mm },
): Item[] {
  const tag = `edge label ${label.edge}`;
  const set = labelSet(fonts, label, sizeMm);
  const half = (Math.max(...set.runs.map(({ style }) => style.sizeMm)) * CAP_HEIGHT) / 2;
  const outward = (distance: Mm, along: Mm): Point => {
    switch (label.edge) {
      case 'top':
        return { x: along, y: picture.y - distance };
      case 'bottom':
        return { x: along, y: picture.y + picture.height + distance };
      case 'left':
        return { x: picture.x - distance, y: along };
      case 'right':
        return { x: picture.x + picture.width + distance, y: along };
    }
  };
  const line = (from: Point, to: Point): Item => ({ kind: 'line', tag, from, to, stroke: LEADER });
  // Turned text reads from bottom to top: it ends at the bottom edge's leader and starts at the top edge's.
  const endsHere = label.edge === 'left' || label.edge === 'bottom';
  const lineMm = set.runs.reduce((sum, { widthMm }) => sum + widthMm, 0) + set.gapMm * (set.runs.length - 1);
  const at = (along: Mm) => outward(LEADER_MM + (endsHere ? lineMm - along : along), placed + half);
  const figureTop = placed + half - Math.max(...set.runs.map(({ style }) => style.sizeMm)) * TEXT_ASCENT;
  const aboveAt = outward(
    LEADER_MM + (endsHere && set.above ? set.above.widthMm : 0),
    figureTop - WORD_SIZE_MM * TEXT_DESCENT + 0.4,
  );
  return [
    line(outward(0.5, wanted), outward(2, wanted)),
    line(outward(2, wanted), outward(LEADER_MM - 1, placed)),
    ...(set.above ? [textLine(fonts, set.above.text, set.above.style, { at: aboveAt, tag })] : []),
    ...runItems(fonts, set, at, isLevelEdge(label.edge) ? 90 : 0, tag),
  ];
}

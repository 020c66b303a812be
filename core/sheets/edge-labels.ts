import { CAP_HEIGHT, type Item, LINE_PITCH, type Stroke } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { styleOf, type TextStyle, textFitted, textLine } from '../drawing/text-block.ts';
import type { Edge, Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

/** A note at the outline of a picture, tied by a thin line to the place that it speaks of. */
export interface EdgeLabel {
  readonly edge: Edge;
  /** Where on the edge, in finished mm from the picture's left or top. */
  readonly atMm: Mm;
  readonly text: string;
  readonly isStrong: boolean;
}

const LEADER_MM: Mm = 4;
/** A longer name is cut short here; the list of body lines has it whole. Distances are never cut. */
const MAX_NAME_MM: Mm = 34;
/** Largest first; the labels of an edge share one size. */
export const EDGE_LABEL_SIZES: readonly Mm[] = [5, 4.2, 3.5, 3];
/** Room for the line of the outline. */
const BARE_BAND_MM: Mm = 1.6;
const LEADER: Stroke = { widthMm: 0.18, black: 1 };

/** Depth of the band that the labels of an edge need outside the picture, in lettering of this size. */
export function edgeBandDepth(fonts: FontMetrics, labels: readonly EdgeLabel[], edge: Edge, sizeMm: Mm): Mm {
  const widths = labels
    .filter((label) => label.edge === edge)
    .map((label) => labelFitted(fonts, label, styleOf(roleOf(label), sizeMm)))
    .map(({ text, style }) => fonts.width(text, style.role, style.sizeMm));
  return widths.length === 0 ? BARE_BAND_MM : LEADER_MM + Math.max(...widths) + 0.5;
}

function labelFitted(
  fonts: FontMetrics,
  label: EdgeLabel,
  style: TextStyle,
): { text: string; style: TextStyle } {
  const text = fonts.printable(label.text);
  if (label.isStrong) return { text, style };
  return textFitted(fonts, text, style, MAX_NAME_MM, style.sizeMm) ?? { text: '…', style };
}

const roleOf = (label: EdgeLabel) => (label.isStrong ? 'bold' : 'regular');

/**
 * The labels of one edge of a picture, moved apart where they would touch. Where even the smallest lettering
 * has no room for all, every other label is left out: the tables of the sheet have them all.
 */
export function edgeLabelItems(
  fonts: FontMetrics,
  labels: readonly EdgeLabel[],
  edge: Edge,
  picture: Rect,
  oneTo: number,
  largestMm: Mm,
): Item[] {
  const isTurned = edge === 'top' || edge === 'bottom';
  const start = isTurned ? picture.x : picture.y;
  const length = isTurned ? picture.width : picture.height;
  let own = labels.filter((label) => label.edge === edge).toSorted((a, b) => a.atMm - b.atMm);
  while (own.length > 0) {
    for (const sizeMm of EDGE_LABEL_SIZES.filter((size) => size <= largestMm)) {
      const pitch = sizeMm * LINE_PITCH;
      const wanted = own.map(({ atMm }) => start + atMm / oneTo);
      const spread = positionsSpread(wanted, pitch, start + pitch / 2 - 1, start + length - pitch / 2 + 1);
      if (!spread) continue;
      return own.flatMap((label, index) =>
        labelItems(fonts, label, styleOf(roleOf(label), sizeMm), picture, wanted[index]!, spread[index]!),
      );
    }
    own = own.filter((_, index) => index % 2 === 0 && own.length > 1);
  }
  return [];
}

/**
 * Moves sorted positions apart to at least `pitch`, within [from, to], each as little as one pass forward and
 * one back need. Undefined where there is no room: `n` positions need (n − 1) × pitch.
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
    placed[i] = Math.min(placed[i]!, limit);
    limit = placed[i]! - pitch;
  }
  return placed;
}

function labelItems(
  fonts: FontMetrics,
  label: EdgeLabel,
  style: TextStyle,
  picture: Rect,
  wanted: Mm,
  placed: Mm,
): Item[] {
  const tag = `edge label ${label.edge}`;
  const fitted = labelFitted(fonts, label, style);
  const half = (style.sizeMm * CAP_HEIGHT) / 2;
  const outward = (distance: Mm, along: Mm) => {
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
  const line = (from: { x: Mm; y: Mm }, to: { x: Mm; y: Mm }): Item => ({
    kind: 'line',
    tag,
    from,
    to,
    stroke: LEADER,
  });
  const isTurned = label.edge === 'top' || label.edge === 'bottom';
  // Turned text reads from bottom to top: it ends at the bottom edge's leader and starts at the top edge's.
  const anchor = label.edge === 'left' || label.edge === 'bottom' ? 'end' : 'start';
  return [
    line(outward(0.5, wanted), outward(2, wanted)),
    line(outward(2, wanted), outward(LEADER_MM - 1, placed)),
    textLine(fonts, fitted.text, fitted.style, {
      at: outward(LEADER_MM, placed + half),
      anchor,
      turn: isTurned ? 90 : 0,
      tag,
    }),
  ];
}

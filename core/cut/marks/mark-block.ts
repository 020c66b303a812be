import { BLACK, CAP_HEIGHT, type Item, THICK } from '../../drawing/drawing.ts';
import type { FontMetrics } from '../../drawing/font-library.ts';
import { itemMoved } from '../../drawing/moved-item.ts';
import { styleOf, type TextStyle, textFitted, textLine } from '../../drawing/text-block.ts';
import type { Point } from '../../measure/rect.ts';
import { MM_PER_INCH, type Mm } from '../../measure/units.ts';
import { laneDirection, type MarkLane } from './mark-lane.ts';

/** One way to draw a mark, in the (u, v) coordinates of a lane, starting at u = 0. */
export interface MarkBlock {
  readonly lengthMm: Mm;
  readonly items: readonly Item[];
}

/** ISO 3098 begins at capitals of 2.5 mm. Smaller lettering on film is not read, so it is not drawn. */
export const MIN_LETTER_SIZE_MM: Mm = 2.5 / CAP_HEIGHT;

const PAD_MM: Mm = 2;

/** Lettering size for a border of this depth: `share` of it, between the minimum and `mostMm`. */
export function letterSize(depthMm: Mm, share: number, mostMm: Mm): Mm | undefined {
  const size = Math.min(mostMm, Math.max(MIN_LETTER_SIZE_MM, depthMm * share));
  return size * 1.2 <= depthMm ? size : undefined;
}

/** Baseline of row `index` of `rows` equal rows, with the capitals centered in their row. */
export const rowBaseline = (depthMm: Mm, rows: number, index: number, sizeMm: Mm): Mm =>
  (depthMm / rows) * (index + 0.5) + (sizeMm * CAP_HEIGHT) / 2;

/** One line in the middle of the lane. */
export function textMark(
  fonts: FontMetrics,
  text: string,
  style: TextStyle,
  lane: MarkLane,
  tag: string,
): MarkBlock {
  const at: Point = { x: 0, y: rowBaseline(lane.depthMm, 1, 0, style.sizeMm) };
  const item = textLine(fonts, text, style, { at, tag });
  return { lengthMm: item.widthMm, items: [item] };
}

/** One line no longer than `roomMm`: the lettering gets smaller first, then the text is cut short with '…'. */
export function textMarkFitted(
  fonts: FontMetrics,
  text: string,
  style: TextStyle,
  lane: MarkLane,
  { roomMm, tag }: { readonly roomMm: Mm; readonly tag: string },
): MarkBlock | undefined {
  const fitted = textFitted(fonts, text, style, roomMm, MIN_LETTER_SIZE_MM);
  return fitted && textMark(fonts, fitted.text, fitted.style, lane, tag);
}

/** Blocks in a row, one after the other. */
export function blockRow(blocks: readonly (MarkBlock | undefined)[], gapMm: Mm): MarkBlock {
  const items: Item[] = [];
  let at: Mm = 0;
  for (const block of blocks) {
    if (!block) continue;
    if (at > 0) at += gapMm;
    const by = at;
    const shifted = <T extends Point>(place: T): T => ({ ...place, x: place.x + by });
    items.push(...block.items.map((item) => itemMoved(item, { point: shifted, rect: shifted })));
    at += block.lengthMm;
  }
  return { lengthMm: at, items };
}

/** An arrow that points in a direction of film space, with a word beside it. */
export function arrowMark(
  fonts: FontMetrics,
  word: string,
  direction: Point,
  lane: MarkLane,
  tag: string,
): MarkBlock | undefined {
  const size = letterSize(lane.depthMm, 0.42, 11);
  if (size === undefined) return undefined;
  const span = Math.min(lane.depthMm, 22);
  const arrow: Item = {
    kind: 'polygon',
    tag,
    points: arrowPoints(laneDirection(lane, direction), span, { u: span / 2, v: lane.depthMm / 2 }),
    fill: BLACK,
  };
  const baseline = rowBaseline(lane.depthMm, 1, 0, size);
  const text = textLine(fonts, word, styleOf('bold', size), { at: { x: span + PAD_MM, y: baseline }, tag });
  return { lengthMm: span + PAD_MM + text.widthMm, items: [arrow, text] };
}

/** A block arrow of length `span`, centered on `middle`, head first. */
function arrowPoints(along: { u: number; v: number }, span: Mm, middle: { u: Mm; v: Mm }): Point[] {
  const across = { u: -along.v, v: along.u };
  const outline: readonly (readonly [number, number])[] = [
    [0.5, 0],
    [0, 0.36],
    [0, 0.14],
    [-0.5, 0.14],
    [-0.5, -0.14],
    [0, -0.14],
    [0, -0.36],
  ];
  return outline.map(([a, b]) => ({
    x: middle.u + span * (along.u * a + across.u * b),
    y: middle.v + span * (along.v * a + across.v * b),
  }));
}

/** Length of the bar, by the unit of the job. */
export const CHECK_BARS = {
  mm: { lengthMm: 100, text: '100 mm' },
  in: { lengthMm: 4 * MM_PER_INCH, text: '4 in' },
} as const satisfies Readonly<Record<'mm' | 'in', { readonly lengthMm: Mm; readonly text: string }>>;

/** A bar with that length on the finished print, whatever the reduction of the file. Keeps MK6. */
export function checkBarMark(
  fonts: FontMetrics,
  unit: 'mm' | 'in',
  lane: MarkLane,
  tag: string,
): MarkBlock | undefined {
  const { lengthMm: barMm, text: barText } = CHECK_BARS[unit];
  const size = letterSize(lane.depthMm, 0.24, 6);
  if (size === undefined) return undefined;
  const tick = Math.min(lane.depthMm, 8);
  const middle = lane.depthMm / 2;
  const line = (from: Point, to: Point): Item => ({ kind: 'line', tag, from, to, stroke: THICK });
  const text = textLine(fonts, `${barText} on the finished print`, styleOf('regular', size), {
    at: { x: barMm + 1 + PAD_MM, y: rowBaseline(lane.depthMm, 1, 0, size) },
    tag,
  });
  const u0 = THICK.widthMm / 2;
  const u1 = u0 + barMm;
  return {
    lengthMm: barMm + 1 + PAD_MM + text.widthMm,
    items: [
      line({ x: u0, y: middle }, { x: u1, y: middle }),
      line({ x: u0, y: middle - tick / 2 }, { x: u0, y: middle + tick / 2 }),
      line({ x: u1, y: middle - tick / 2 }, { x: u1, y: middle + tick / 2 }),
      text,
    ],
  };
}

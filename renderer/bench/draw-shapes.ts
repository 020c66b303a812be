/** The few shapes that the drawings on the bench are made of. Lengths in mm unless named px. */
import type { SeamDirection } from '../../core/job/schema.ts';
import { firstOf } from '../../core/measure/present.ts';
import { type Point, type Rect, rectIntersection } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';
import { interfaceScale } from '../state/settings.ts';
import type { NodeSpec } from './scene.ts';

type Attrs = Record<string, string | number>;

export const group = (key: string, attrs: Attrs, children: readonly NodeSpec[]): NodeSpec => ({
  key,
  tag: 'g',
  attrs,
  children,
});

/** A rectangle whose outline keeps its width at any zoom. */
export const rectNode = (key: string, className: string, rect: Rect): NodeSpec => ({
  key,
  tag: 'rect',
  attrs: { class: className, x: rect.x, y: rect.y, width: rect.width, height: rect.height },
});

export const pathNode = (key: string, className: string, d: string): NodeSpec => ({
  key,
  tag: 'path',
  attrs: { class: className, d },
});

/** A group whose own units are pixels, with its origin at a point of the bench. */
export const pxGroup = (
  key: string,
  at: { readonly x: Mm; readonly y: Mm },
  pxPerMm: number,
  children: readonly NodeSpec[],
): NodeSpec => group(key, { transform: `translate(${at.x} ${at.y}) scale(${1 / pxPerMm})` }, children);

const FRAME_PX = 7;

/** A frame along the inside of a rectangle, filled with a pattern; what the rectangle marks stays to be seen. */
export function patternedFrame(key: string, className: string, rect: Rect, pxPerMm: number): NodeSpec {
  const [width, height] = [rect.width * pxPerMm, rect.height * pxPerMm];
  const [in1, in2] = [width - 2 * FRAME_PX, height - 2 * FRAME_PX];
  const hole = in1 > 0 && in2 > 0 ? `M${FRAME_PX} ${FRAME_PX}v${in2}h${in1}v${-in2}z` : '';
  return pxGroup(key, rect, pxPerMm, [
    pathNode('fill', className, `M0 0h${width}v${height}h${-width}z${hole}`),
  ]);
}

/** The same of an outline: filled all over, because no frame runs evenly along its inside. */
export const patternedOutline = (
  key: string,
  className: string,
  points: readonly Point[],
  pxPerMm: number,
): NodeSpec => {
  const from = firstOf(points);
  const d = points.map(({ x, y }) => `${(x - from.x) * pxPerMm} ${(y - from.y) * pxPerMm}`).join('L');
  return pxGroup(key, from, pxPerMm, [pathNode('fill', className, `M${d}z`)]);
};

/**
 * A group in pixels whose first axis runs across a line and whose second runs along it, whichever way the line
 * lies, so that a seam is drawn once for both directions.
 */
export function acrossGroup(
  key: string,
  direction: SeamDirection,
  line: { readonly at: Mm; readonly from: Mm },
  pxPerMm: number,
  children: readonly NodeSpec[],
): NodeSpec {
  const s = 1 / pxPerMm;
  const transform =
    direction === 'vertical'
      ? `matrix(${s} 0 0 ${s} ${line.at} ${line.from})`
      : `matrix(0 ${s} ${s} 0 ${line.from} ${line.at})`;
  return group(key, { transform }, children);
}

/** Advance of a figure or capital of the interface's font at 12 px, a little generous. */
const LETTER_PX = 7.3;
const TAG_HEIGHT_PX = 18;

const plateWidthPx = (text: string): number => text.length * LETTER_PX + 10;

/** On screen, at the size of the interface that is set. */
export const tagWidthPx = (text: string): number => plateWidthPx(text) * interfaceScale.value;

export const tagHeightPx = (): number => TAG_HEIGHT_PX * interfaceScale.value;

/**
 * The first place where a plate of this width covers none of the rectangles, else the first place. Lettering is judged
 * by eye, so plates avoid it where possible.
 */
export function clearPlace(places: readonly Point[], text: string, taken: readonly Rect[]): Point {
  const [width, height] = [tagWidthPx(text), tagHeightPx()];
  const isClear = (at: Point) => !taken.some((rect) => rectIntersection(rect, { ...at, width, height }));
  return places.find(isClear) ?? firstOf(places);
}

/** Text on a plate, in pixels, its top left corner at `(xPx, yPx)`. */
export function tagNodes(key: string, className: string, text: string, xPx = 0, yPx = 0): NodeSpec {
  return group(
    key,
    { class: `tag ${className}`, transform: `translate(${xPx} ${yPx}) scale(${interfaceScale.value})` },
    [
      {
        key: 'plate',
        tag: 'rect',
        attrs: { class: 'tag-plate', width: plateWidthPx(text), height: TAG_HEIGHT_PX, rx: 2 },
      },
      { key: 'text', tag: 'text', attrs: { class: 'tag-text', x: 5, y: 13.5 }, text },
    ],
  );
}

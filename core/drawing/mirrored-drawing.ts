import { type Point, rectMirrored, rectRight } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { type Anchor, CAP_HEIGHT, type Drawing, type Item, type TextItem } from './drawing.ts';

const OTHER_END: Readonly<Record<Anchor, Anchor>> = { start: 'end', middle: 'middle', end: 'start' };

/** The same drawing from right to left. Texts and codes move with it and still read from left to right. */
export const drawingMirrored = (drawing: Drawing): Drawing => ({
  ...drawing,
  items: drawing.items.map((item) => itemMirrored(item, drawing.widthMm)),
});

function itemMirrored(item: Item, width: Mm): Item {
  const moved = ({ x, y }: Point): Point => ({ x: width - x, y });
  switch (item.kind) {
    case 'line':
      return { ...item, from: moved(item.from), to: moved(item.to) };
    case 'polygon':
      return { ...item, points: item.points.map(moved) };
    case 'rect':
    case 'picture':
    case 'stamp':
      return { ...item, rect: rectMirrored(item.rect, width) };
    case 'circle':
      return { ...item, center: moved(item.center) };
    case 'rects': {
      const left = Math.min(...item.rects.map(({ x }) => x));
      const right = Math.max(...item.rects.map(rectRight));
      const by = width - right - left;
      return { ...item, rects: item.rects.map((rect) => ({ ...rect, x: rect.x + by })) };
    }
    case 'text':
      return { ...item, ...textMirrored(item, width) };
  }
}

/** Level text swaps its ends; text that runs up or down keeps its direction, with its capitals where they were. */
function textMirrored({ at, anchor, turn, sizeMm }: TextItem, width: Mm): Pick<TextItem, 'at' | 'anchor'> {
  const x = width - at.x;
  if (turn === 0 || turn === 180) return { at: { x, y: at.y }, anchor: OTHER_END[anchor] };
  const capital = CAP_HEIGHT * sizeMm;
  return { at: { x: turn === 90 ? x + capital : x - capital, y: at.y }, anchor };
}

import { rectMirrored, rectRight } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { type Anchor, CAP_HEIGHT, type Drawing, type Item, type TextItem } from './drawing.ts';
import { itemMoved } from './moved-item.ts';

const OTHER_END: Readonly<Record<Anchor, Anchor>> = { start: 'end', middle: 'middle', end: 'start' };

/** The drawing mirrored from right to left. Texts and codes move with it but still read from left to right. */
export const drawingMirrored = (drawing: Drawing): Drawing => ({
  ...drawing,
  items: drawing.items.map((item) => itemMirrored(item, drawing.widthMm)),
});

function itemMirrored(item: Item, width: Mm): Item {
  if (item.kind === 'text') return { ...item, ...textMirrored(item, width) };
  if (item.kind === 'rects') {
    const left = Math.min(...item.rects.map(({ x }) => x));
    const right = Math.max(...item.rects.map(rectRight));
    const by = width - right - left;
    return { ...item, rects: item.rects.map((rect) => ({ ...rect, x: rect.x + by })) };
  }
  return itemMoved(item, {
    point: ({ x, y }) => ({ x: width - x, y }),
    rect: (rect) => rectMirrored(rect, width),
  });
}

/** Horizontal text swaps its ends; vertical text keeps its direction and the place of its capitals. */
function textMirrored({ at, anchor, turn, sizeMm }: TextItem, width: Mm): Pick<TextItem, 'at' | 'anchor'> {
  const x = width - at.x;
  if (turn === 0 || turn === 180) return { at: { x, y: at.y }, anchor: OTHER_END[anchor] };
  const capital = CAP_HEIGHT * sizeMm;
  return { at: { x: turn === 90 ? x + capital : x - capital, y: at.y }, anchor };
}

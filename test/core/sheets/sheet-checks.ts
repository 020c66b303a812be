import { expect } from 'vitest';
import type { Drawing, Item, TextItem } from '../../../core/drawing/drawing.ts';
import { type Rect, rectIntersection } from '../../../core/measure/rect.ts';
import { itemBounds } from '../../support/item-bounds.ts';

export const textsOf = (drawing: Drawing): TextItem[] =>
  drawing.items.filter((item): item is TextItem => item.kind === 'text' && item.text !== '');

export const isOutside = (inner: Rect, outer: Rect): boolean =>
  inner.x < outer.x - 0.01 ||
  inner.y < outer.y - 0.01 ||
  inner.x + inner.width > outer.x + outer.width + 0.01 ||
  inner.y + inner.height > outer.y + outer.height + 0.01;

const describeItem = (item: Item): string => {
  const { x, y, width, height } = itemBounds(item);
  const text = item.kind === 'text' ? ` “${item.text.slice(0, 40)}”` : '';
  return `${item.tag}${text} at ${x.toFixed(1)}, ${y.toFixed(1)}, ${width.toFixed(1)} × ${height.toFixed(1)}`;
};

/** Every two texts whose boxes share more than a hair, by name. */
export function overlappingTexts(drawing: Drawing): string[] {
  const texts = textsOf(drawing)
    .map((item) => ({ item, box: itemBounds(item) }))
    .sort((a, b) => a.box.y - b.box.y);
  const found: string[] = [];
  for (const [index, a] of texts.entries()) {
    for (let next = index + 1; next < texts.length; next += 1) {
      const b = texts[next]!;
      if (b.box.y > a.box.y + a.box.height) break;
      const shared = rectIntersection(a.box, b.box);
      // Lines of one paragraph are set closer than their boxes, which reach to the tallest accent.
      const slack = a.item.tag === b.item.tag ? Math.min(a.item.sizeMm, b.item.sizeMm) * 0.2 : 0.05;
      if (shared && shared.width > slack && shared.height > slack) {
        found.push(`${describeItem(a.item)} / ${describeItem(b.item)}`);
      }
    }
  }
  return found;
}

/** Everything that leaves the given area, by name. */
export const itemsOutside = (drawing: Drawing, area: Rect): string[] =>
  drawing.items.filter((item) => isOutside(itemBounds(item), area)).map(describeItem);

export function expectTidySheet(drawing: Drawing, marginMm: number): void {
  const area: Rect = {
    x: marginMm - 0.4,
    y: marginMm - 0.4,
    width: drawing.widthMm - 2 * marginMm + 0.8,
    height: drawing.heightMm - 2 * marginMm + 0.8,
  };
  expect(overlappingTexts(drawing)).toEqual([]);
  expect(itemsOutside(drawing, area)).toEqual([]);
}

import type { NestItem } from '../../core/nesting/nest-bounds.ts';

/**
 * Heights of shelf packings, written apart from the planner: items by falling height, of equal height the widest
 * first, each shelf as high as its first item. Next fit looks at the newest shelf only, first fit at all of them.
 */
export function shelfHeights(items: readonly NestItem[], stripWidth: number) {
  const sorted = [...items].sort((a, b) => b.height - a.height || b.width - a.width);
  return { nextFit: shelfHeight(sorted, stripWidth, true), firstFit: shelfHeight(sorted, stripWidth, false) };
}

function shelfHeight(sorted: readonly NestItem[], stripWidth: number, isNewestOnly: boolean): number {
  const used: number[] = [];
  let height = 0;
  for (const item of sorted) {
    const from = isNewestOnly ? Math.max(0, used.length - 1) : 0;
    const shelf = used.findIndex((width, index) => index >= from && width + item.width <= stripWidth + 1e-6);
    if (shelf >= 0) {
      used[shelf]! += item.width;
    } else {
      used.push(item.width);
      height += item.height;
    }
  }
  return height;
}

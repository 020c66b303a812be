import type { Point, Rect } from '../measure/rect.ts';
import type { Item } from './drawing.ts';

/** Functions that move the points and rectangles of a drawing. */
export interface ItemMove {
  readonly point: (point: Point) => Point;
  readonly rect: (rect: Rect) => Rect;
}

/** An item moved to another place. Text and codes keep their direction. */
export function itemMoved(item: Item, { point, rect }: ItemMove): Item {
  switch (item.kind) {
    case 'line':
      return { ...item, from: point(item.from), to: point(item.to) };
    case 'polygon':
      return { ...item, points: item.points.map(point) };
    case 'circle':
      return { ...item, center: point(item.center) };
    case 'text':
      return { ...item, at: point(item.at) };
    case 'rects':
      return { ...item, rects: item.rects.map(rect) };
    default:
      return { ...item, rect: rect(item.rect) };
  }
}

import {
  type Item,
  TEXT_ASCENT,
  TEXT_DESCENT,
  type TextItem,
  textOrigin,
  turnDirection,
} from '../../core/drawing/drawing.ts';
import { type Point, type Rect, rectFromEdges } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';

/** The smallest upright rectangle around an item, with its line widths. */
export function itemBounds(item: Item): Rect {
  switch (item.kind) {
    case 'line':
      return boundsOf([item.from, item.to], item.stroke.widthMm / 2);
    case 'polygon':
      return boundsOf(item.points, (item.stroke?.widthMm ?? 0) / 2);
    case 'rect':
      return boundsOf(corners(item.rect), (item.stroke?.widthMm ?? 0) / 2);
    case 'rects':
      return boundsOf(item.rects.flatMap(corners), 0);
    case 'circle':
      return boundsOf([item.center], item.radiusMm + (item.stroke?.widthMm ?? 0) / 2);
    case 'picture':
      return item.clip ?? item.rect;
    case 'stamp':
      return item.rect;
    case 'text':
      return textBounds(item);
  }
}

function textBounds(item: TextItem): Rect {
  const origin = textOrigin(item);
  const along = turnDirection(item.turn);
  // Up from the base line: the running direction turned a quarter counter-clockwise.
  const up = { x: along.y, y: -along.x };
  const corner = (run: Mm, rise: Mm): Point => ({
    x: origin.x + along.x * run + up.x * rise,
    y: origin.y + along.y * run + up.y * rise,
  });
  return boundsOf(
    [
      corner(0, item.sizeMm * TEXT_ASCENT),
      corner(item.widthMm, item.sizeMm * TEXT_ASCENT),
      corner(0, -item.sizeMm * TEXT_DESCENT),
      corner(item.widthMm, -item.sizeMm * TEXT_DESCENT),
    ],
    0,
  );
}

const corners = (r: Rect): Point[] => [
  { x: r.x, y: r.y },
  { x: r.x + r.width, y: r.y + r.height },
];

function boundsOf(points: readonly Point[], grow: Mm): Rect {
  const xs = points.map(({ x }) => x);
  const ys = points.map(({ y }) => y);
  return rectFromEdges(
    Math.min(...xs) - grow,
    Math.min(...ys) - grow,
    Math.max(...xs) + grow,
    Math.max(...ys) + grow,
  );
}

import { type Drawing, type Item, type TextItem, textOrigin, turnDirection } from './drawing.ts';
import type { FontLibrary } from './font-library.ts';
import { type BlackKind, type ContentPainter, contentFromDrawing, type PageUnits } from './pdf-content.ts';

/**
 * A drawing as operators alone: letters are filled outlines, so the content needs no fonts and no other
 * resources. Marks on film are written so: a RIP then has no font to miss, and a panel stays free of
 * fonts that the artwork did not bring.
 *
 * The unit is the point at film size, origin bottom left. A picture in the drawing is a bug and throws.
 */
export function outlinedContentFromDrawing(drawing: Drawing, black: BlackKind, fonts: FontLibrary): string {
  const painter: ContentPainter = {
    text: (item, page) => outlineOperators(item, page, fonts),
    picture: (item: Item) => {
      throw new Error(`outlined content cannot hold a ${item.kind}`);
    },
  };
  return contentFromDrawing(drawing, black, painter);
}

function outlineOperators(item: TextItem, page: PageUnits, fonts: FontLibrary): string {
  const origin = textOrigin(item);
  const along = turnDirection(item.turn);
  const up = { x: along.y, y: -along.x };
  const at = (x: number, y: number) =>
    `${page.x(origin.x + along.x * x + up.x * y)} ${page.y(origin.y + along.y * x + up.y * y)}`;
  const parts = fonts.outline(item.text, item.role, item.sizeMm).map(({ command, points }) => {
    const places = points.map(([x, y]) => at(x, y)).join(' ');
    return `${places} ${command}`.trim();
  });
  return parts.length > 0 ? `${parts.join('\n')}\nf` : '';
}

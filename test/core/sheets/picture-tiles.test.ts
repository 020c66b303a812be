import { expect, it } from 'vitest';
import type { Item } from '../../../core/drawing/drawing.ts';
import { type Rect, rectIntersection } from '../../../core/measure/rect.ts';
import { noFilmAreaTextItems, seamTextItems } from '../../../core/sheets/picture-tiles.ts';
import { Placer } from '../../../core/sheets/placer.ts';
import { testFonts } from './fixture.ts';
import { isOutside } from './sheet-checks.ts';

const fonts = testFonts();
const picture: Rect = { x: 0, y: 0, width: 200, height: 80 };
const tileOf = (items: readonly Item[]): Rect =>
  items.flatMap((item) => (item.kind === 'rect' ? [item.rect] : []))[0]!;

it('SH2 the key of a small area steps off lettering and off other areas', () => {
  // A lamp at the top edge, a name below it; a second lamp at its left.
  const lamp: Rect = { x: 95, y: 0, width: 10, height: 2 };
  const lettering: Rect = { x: 60, y: 8, width: 80, height: 12 };
  const other: Rect = { x: 80, y: 0, width: 10, height: 4 };
  const avoid = { noFilmAreas: [lamp, other], lettering: [lettering] };
  const tile = tileOf(noFilmAreaTextItems(fonts, 'X1', 'Lamp', lamp, picture, avoid, new Placer()));
  for (const area of [lamp, lettering, other]) expect(rectIntersection(tile, area)).toBeUndefined();
  expect(isOutside(tile, picture)).toBe(false);
});

it('SH2 a key with no clear place stands on lettering and off other areas, and is never left out', () => {
  const lamp: Rect = { x: 95, y: 40, width: 10, height: 2 };
  const avoid = { noFilmAreas: [lamp], lettering: [picture] };
  const tile = tileOf(noFilmAreaTextItems(fonts, 'X1', 'Lamp', lamp, picture, avoid, new Placer()));
  expect(rectIntersection(tile, lamp)).toBeUndefined();
});

it('SH2 the text of a seam leaves the area at its middle in sight', () => {
  const handle: Rect = { x: 95, y: 38, width: 10, height: 4 };
  const at = (areas: readonly Rect[]) =>
    tileOf(
      seamTextItems(fonts, '2 over 1', { x: 0, y: 40 }, 0, 200, 30, false, picture, areas, new Placer()),
    );
  expect(rectIntersection(at([]), handle)).toBeDefined();
  expect(rectIntersection(at([handle]), handle)).toBeUndefined();
});

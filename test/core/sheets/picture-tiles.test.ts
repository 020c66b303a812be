import { expect, it } from 'vitest';
import { CAP_HEIGHT, type Item } from '../../../core/drawing/drawing.ts';
import { type Rect, rectIntersection } from '../../../core/measure/rect.ts';
import { noFilmAreaTextItems } from '../../../core/sheets/no-film-tiles.ts';
import { numberItems } from '../../../core/sheets/number-tiles.ts';
import { Placer } from '../../../core/sheets/placer.ts';
import { seamTextItems } from '../../../core/sheets/seam-tiles.ts';
import { testFonts } from './fixture.ts';
import { isOutside } from './sheet-checks.ts';

const fonts = testFonts();
const picture: Rect = { x: 0, y: 0, width: 200, height: 80 };
const tileOf = (items: readonly Item[]): Rect =>
  items.flatMap((item) => (item.kind === 'rect' ? [item.rect] : []))[0]!;

it('the key of a small area steps off lettering and off other areas', () => {
  // A lamp at the top edge, a name below it; a second lamp at its left.
  const lamp: Rect = { x: 95, y: 0, width: 10, height: 2 };
  const lettering: Rect = { x: 60, y: 8, width: 80, height: 12 };
  const other: Rect = { x: 80, y: 0, width: 10, height: 4 };
  const avoid = { noFilmAreas: [lamp, other], lettering: [lettering] };
  const tile = tileOf(
    noFilmAreaTextItems(
      fonts,
      { key: 'X1', name: 'Lamp' },
      { noFilmArea: lamp, picture },
      avoid,
      new Placer(),
    ),
  );
  for (const area of [lamp, lettering, other]) expect(rectIntersection(tile, area)).toBeUndefined();
  expect(isOutside(tile, picture)).toBe(false);
});

it('a key with no clear place stands on lettering and off other areas, and is never left out', () => {
  const lamp: Rect = { x: 95, y: 40, width: 10, height: 2 };
  const avoid = { noFilmAreas: [lamp], lettering: [picture] };
  const tile = tileOf(
    noFilmAreaTextItems(
      fonts,
      { key: 'X1', name: 'Lamp' },
      { noFilmArea: lamp, picture },
      avoid,
      new Placer(),
    ),
  );
  expect(rectIntersection(tile, lamp)).toBeUndefined();
});

it('the text of a seam leaves the area at its middle in sight', () => {
  const handle: Rect = { x: 95, y: 38, width: 10, height: 4 };
  const stretch = { text: '2 over 1', from: { x: 0, y: 40 }, lengthMm: 200, isVertical: false, depthMm: 30 };
  const at = (noFilmAreas: readonly Rect[]) =>
    tileOf(seamTextItems(fonts, stretch, picture, { noFilmAreas, lettering: [] }, new Placer()));
  expect(rectIntersection(at([]), handle)).toBeDefined();
  expect(rectIntersection(at([handle]), handle)).toBeUndefined();
});

it('the text of a seam that has no room on it is led to it by a line, which ends on the seam', () => {
  // A seam of 6 mm: no text is so short.
  const stretch = { text: '4 over 1', from: { x: 70, y: 30 }, lengthMm: 6, isVertical: true, depthMm: 5 };
  const placer = new Placer();
  placer.take({ x: 60, y: 20, width: 20, height: 26 });
  const items = seamTextItems(fonts, stretch, picture, { noFilmAreas: [], lettering: [] }, placer);
  const lines = items.flatMap((item) => (item.kind === 'line' ? [item] : []));
  expect(lines).toHaveLength(2);
  for (const { from, to } of lines) {
    expect(to.x).toBe(70);
    expect(to.y).toBeGreaterThanOrEqual(30);
    expect(to.y).toBeLessThanOrEqual(36);
    const tile = tileOf(items);
    expect(from.x >= tile.x - 1e-9 && from.x <= tile.x + tile.width + 1e-9).toBe(true);
    expect(from.y >= tile.y - 1e-9 && from.y <= tile.y + tile.height + 1e-9).toBe(true);
  }
});

it('a number without a clear place is small, and covers as little of the lettering as it can', () => {
  const panel: Rect = { x: 20, y: 10, width: 100, height: 19 };
  // A name from the left end but for 4 mm, over all of the height that a number could take.
  const name: Rect = { x: 24, y: 11, width: 95, height: 17 };
  const avoid = { noFilmAreas: [], lettering: [name] };
  const items = numberItems(fonts, { number: 3, label: 'DS-03', order: 3 }, panel, avoid, {
    placer: new Placer(),
    isReversed: false,
  });
  const tile = tileOf(items);
  expect(tile.x).toBeCloseTo(21.2, 6);
  const cap = items.flatMap((item) => (item.kind === 'text' ? [item.sizeMm * CAP_HEIGHT] : []))[0]!;
  expect(cap).toBeCloseTo(5, 6);
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Rect } from '../../../core/measure/rect.ts';
import { levelFor, levelPxPerMm, levelTiles, tilesWanted } from '../../../renderer/bench/tiles.ts';

/** A page of 786 × 296 mm whose corner lies left of and above the origin. */
const extent: Rect<'drawn'> = { x: -33, y: -29, width: 786, height: 296 };
const whole: Rect<'drawn'> = { x: -1000, y: -1000, width: 3000, height: 3000 };

describe('the pyramid of tiles', () => {
  it('has the whole page in one picture at its foot', () => {
    const [tile, ...others] = levelTiles(2, extent, 0, whole);
    expect(others).toEqual([]);
    expect(tile).toMatchObject({ page: 2, window: extent, widthPx: 1024 });
  });

  it('doubles the resolution with each level', () => {
    expect(levelPxPerMm(extent, 3) / levelPxPerMm(extent, 2)).toBe(2);
  });

  it.each([1, 2, 4])('covers the page without gap or overlap at level %d', (level) => {
    const tiles = levelTiles(1, extent, level, whole);
    const area = tiles.reduce((sum, { window }) => sum + window.width * window.height, 0);
    expect(area).toBeCloseTo(extent.width * extent.height, 4);
    expect(new Set(tiles.map(({ key }) => key)).size).toBe(tiles.length);
    for (const { window, widthPx } of tiles) {
      expect(widthPx).toBeLessThanOrEqual(512);
      expect(window.x).toBeGreaterThanOrEqual(extent.x - 1e-9);
      expect(window.y + window.height).toBeLessThanOrEqual(extent.y + extent.height + 1e-9);
    }
  });

  it('gives a tile the same name and window wherever one looks from', () => {
    const near = levelTiles(1, extent, 4, { x: 100, y: 50, width: 90, height: 40 });
    const all = new Map(levelTiles(1, extent, 4, whole).map((tile) => [tile.key, tile]));
    expect(near.length).toBeGreaterThan(1);
    for (const tile of near) expect(all.get(tile.key)).toEqual(tile);
  });

  it('is sharp enough for the screen, and not four times sharper', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 40, noNaN: true }), (pxPerMm) => {
        const level = levelFor(extent, pxPerMm, 10);
        const sharpness = levelPxPerMm(extent, level);
        expect(sharpness * 1.16).toBeGreaterThan(pxPerMm);
        if (level > 0) expect(sharpness).toBeLessThan(pxPerMm * 2);
      }),
    );
  });

  it('asks for nothing finer than the eye can see finished', () => {
    expect(levelFor(extent, 1e9, 10)).toBe(levelFor(extent, 80, 10));
  });

  it('asks for the coarse picture first, then from the middle outward', () => {
    const picture = { page: 1, shown: extent, at: { x: 0, y: 0 }, scale: 10 };
    const view = { xMm: 2000, yMm: 300, pxPerMm: 1.3 };
    const size = { widthPx: 1100, heightPx: 500 };
    const tiles = tilesWanted(picture, extent, view, size, 1);
    expect(tiles[0]!.level).toBe(0);
    const middle = { x: (2000 + 550 / 1.3) / 10, y: (300 + 250 / 1.3) / 10 };
    const distances = tiles
      .slice(1)
      .map(({ window: w }) => Math.hypot(w.x + w.width / 2 - middle.x, w.y + w.height / 2 - middle.y));
    expect(distances.length).toBeGreaterThan(3);
    expect(distances).toEqual(distances.toSorted((a, b) => a - b));
  });

  it('asks for nothing while the page is out of sight', () => {
    const picture = { page: 1, shown: extent, at: { x: 0, y: 0 }, scale: 10 };
    const view = { xMm: 90_000, yMm: 0, pxPerMm: 0.1 };
    expect(tilesWanted(picture, extent, view, { widthPx: 800, heightPx: 600 }, 2)).toEqual([]);
  });
});

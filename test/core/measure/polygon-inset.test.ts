import { describe, expect, it } from 'vitest';
import { polygonArea } from '../../../core/measure/outline.ts';
import { polygonInset } from '../../../core/measure/polygon-inset.ts';
import type { Point } from '../../../core/measure/rect.ts';
import { randomFrom } from '../../support/random.ts';

const points = (...places: readonly (readonly [number, number])[]): Point[] =>
  places.map(([x, y]) => ({ x, y }));

const distance = (at: Point, a: Point, b: Point): number => {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const t = Math.max(0, Math.min(1, ((at.x - a.x) * dx + (at.y - a.y) * dy) / (dx * dx + dy * dy)));
  return Math.hypot(at.x - a.x - t * dx, at.y - a.y - t * dy);
};
const fromRim = (at: Point, rim: readonly Point[]): number =>
  Math.min(...rim.map((from, index) => distance(at, from, rim[(index + 1) % rim.length]!)));

describe('an outline held off its edge', () => {
  it('GLS1 moves every edge inward, whichever way the corners run, by worked examples', () => {
    const window = points([100, 50], [900, 50], [900, 450], [100, 450]);
    const inside = points([108, 58], [892, 58], [892, 442], [108, 442]);
    expect(polygonInset(window, 8)).toEqual(inside);
    expect(polygonInset(window.toReversed(), 8)).toEqual(inside.toReversed());
    // A corner cut off by 6 mm both ways is gone 20 mm farther in: the edges beside it meet.
    const cut = points([0, 0], [294, 0], [300, 6], [300, 200], [0, 200]);
    expect(polygonInset(cut, 20)).toHaveLength(4);
    expect(polygonArea(polygonInset(cut, 20)!)).toBeCloseTo(260 * 160, 6);
    expect(polygonInset(window, 200)).toBeUndefined();
    expect(polygonInset(window, 199)).toHaveLength(4);
  });

  it('GLS1 keeps random round and hollow outlines the whole way off, and no farther than their corners ask', () => {
    const random = randomFrom(20_417);
    for (let each = 0; each < 60; each++) {
      const count = 5 + Math.floor(random() * 20);
      const rim = Array.from({ length: count }, (_, index): Point => {
        const turn = (2 * Math.PI * index) / count;
        const out = 300 + 120 * random();
        return { x: 500 + out * Math.cos(turn), y: 400 + 0.7 * out * Math.sin(turn) };
      });
      const mm = 5 + 10 * random();
      const inside = polygonInset(rim, mm)!;
      expect(inside).toBeDefined();
      for (const at of inside) expect(fromRim(at, rim)).toBeGreaterThan(mm - 1e-6);
      expect(polygonArea(inside)).toBeLessThan(polygonArea(rim));
      const least = Math.min(...inside.map((at) => fromRim(at, rim)));
      expect(least).toBeLessThan(mm + 1e-6);
    }
  });
});

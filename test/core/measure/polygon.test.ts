import clipping, { type Polygon } from 'polygon-clipping';
import { describe, expect, it } from 'vitest';
import { polygonArea } from '../../../core/measure/outline.ts';
import {
  pathWithinPolygon,
  polygonCoveredArea,
  polygonFault,
  polygonInsideAt,
} from '../../../core/measure/polygon.ts';
import { type Point, rectPoints } from '../../../core/measure/rect.ts';
import { randomFrom } from '../../support/random.ts';

const points = (...places: readonly (readonly [number, number])[]): Point<'finished'>[] =>
  places.map(([x, y]) => ({ x, y }));

/** A wheel arch: a trapezoid of 900 below and 500 above, 400 high. */
const arch = points([1000, 1800], [1200, 1400], [1700, 1400], [1900, 1800]);

describe('polygons', () => {
  it('finds where an outline meets itself, by worked examples', () => {
    expect(polygonFault(arch)).toBeUndefined();
    // A bow tie crosses; a corner that touches another edge, one set twice and one that turns back are faults too.
    expect(polygonFault(points([0, 0], [70, 50], [70, 0], [0, 50]))).toBeDefined();
    expect(polygonFault(points([0, 0], [80, 0], [40, 0], [40, 60]))).toBeDefined();
    expect(polygonFault(points([0, 0], [90, 0], [90, 0], [40, 60]))).toEqual({ x: 90, y: 0 });
    expect(polygonFault(points([0, 0], [90, 0], [90, 70], [45, 0], [0, 70]))).toBeDefined();
    expect(polygonFault(points([0, 0], [90, 0], [120, 0], [60, 70]))).toBeUndefined();
  });

  it('counts what is covered once, by a worked example', () => {
    // The trapezoid has (900 + 500) / 2 · 400 = 280,000 mm².
    expect(polygonArea(arch)).toBe(280_000);
    const side = rectPoints<'finished'>({ x: 0, y: 0, width: 1450, height: 1700 });
    // Left of 1450 and above 1700: at 1400 250 wide, at 1700 400 wide, 300 high.
    expect(polygonCoveredArea(side, [arch])).toBeCloseTo(((250 + 400) / 2) * 300, 6);
    const window = rectPoints<'finished'>({ x: 1250, y: 1300, width: 100, height: 250 });
    // Of the window 100 · 100 lie above the arch.
    expect(polygonCoveredArea(side, [arch, window])).toBeCloseTo(97_500 + 10_000, 6);
    expect(polygonInsideAt(arch, 1600)).toEqual([{ start: 1100, end: 1800 }]);
  });

  it('agrees with a general polygon library (polygon-clipping 0.15.7) on random outlines', () => {
    const random = randomFrom(20_411);
    const star = (): Point<'finished'>[] => {
      const [x, y, count] = [random() * 900, random() * 700, 3 + Math.floor(random() * 9)];
      return Array.from({ length: count }, (_, index) => {
        const [turn, away] = [((index + random() * 0.8) / count) * 2 * Math.PI, 60 + random() * 340];
        return { x: x + away * Math.cos(turn), y: y + away * Math.sin(turn) };
      });
    };
    const ring = (polygon: readonly Point[]): Polygon => [polygon.map(({ x, y }) => [x, y])];
    let count = 0;
    while (count < 300) {
      const [whole, ...others] = [star(), star(), star(), star()];
      if ([whole, ...others].some((each) => polygonFault(each!))) continue;
      count += 1;
      const [first, ...rest] = others.map(ring);
      const shared = clipping.intersection(ring(whole!), clipping.union(first!, ...rest));
      const area = shared
        .flat()
        .map((loop, index, loops) => {
          const size = polygonArea(loop.map(([x, y]) => ({ x, y })));
          // Holes run against the way of the loops that they lie in; the library lists a loop before its holes.
          return shared.some(([outer]) => outer === loops[index]) ? size : -size;
        })
        .reduce((sum, size) => sum + size, 0);
      expect(polygonCoveredArea(whole!, others)).toBeCloseTo(area, 3);
    }
  });

  it('finds the stretches of a path that run inside', () => {
    const level = [{ along: 0, across: 1600 }];
    expect(pathWithinPolygon(level, { start: 0, end: 3000 }, arch)).toEqual([{ start: 1100, end: 1800 }]);
    expect(pathWithinPolygon([{ along: 0, across: 1400 }], { start: 0, end: 3000 }, arch)).toEqual([]);
    // A path that falls from 1300 at 1000 along to 1900 at 2200: y = 1300 + (x − 1000) / 2.
    const falling = [
      { along: 1000, across: 1300 },
      { along: 2200, across: 1900 },
    ];
    const [inside] = pathWithinPolygon(falling, { start: 0, end: 3000 }, arch);
    // It enters through the top at 1200 along; it leaves where x = 1700 + (y − 1400) / 2, the right edge: 0.75 x = 1400.
    expect(inside!.start).toBeCloseTo(1200, 6);
    expect(inside!.end).toBeCloseTo(1400 / 0.75, 6);
  });
});

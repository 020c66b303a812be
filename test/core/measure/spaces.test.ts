import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { intervalIntersection, intervalLength } from '../../../core/measure/interval.ts';
import {
  isRectWithin,
  type Rect,
  rectArea,
  rectExcess,
  rectGrown,
  rectIntersection,
  rectsUnionArea,
} from '../../../core/measure/rect.ts';
import { filmFromFinished, finishedFromDrawn } from '../../../core/measure/spaces.ts';
import { MM_PER_PT, ptFromMm } from '../../../core/measure/units.ts';

// Whole hundredths: random floating-point numbers would nearly all lie close to 0.
const hundredths = (min: number, max: number) =>
  fc.integer({ min: min * 100, max: max * 100 }).map((n) => n / 100);
const length = hundredths(-20_000, 20_000);
const size = hundredths(1, 20_000);
const rects = fc.record({ x: length, y: length, width: size, height: size });
const whole = fc.record({
  x: fc.integer({ min: -9, max: 9 }),
  y: fc.integer({ min: -9, max: 9 }),
  width: fc.integer({ min: 1, max: 12 }),
  height: fc.integer({ min: 1, max: 12 }),
});

function expectClose(a: Rect, b: Rect) {
  for (const key of ['x', 'y', 'width', 'height'] as const) expect(a[key]).toBeCloseTo(b[key], 5);
}

describe('the three spaces', () => {
  it('a side drawn at (31, 17) at 1:10 puts the drawn point (44, 30.5) at (130, 135) finished', () => {
    const to = finishedFromDrawn({ x: 31, y: 17, width: 613, height: 227 }, 10);
    expect(to.point({ x: 44, y: 30.5 })).toEqual({ x: 130, y: 135 });
    expect(to.rect({ x: 31, y: 17, width: 613, height: 227 })).toEqual({
      x: 0,
      y: 0,
      width: 6130,
      height: 2270,
    });
  });

  it('drawn to finished to film and back is where it was', () => {
    fc.assert(
      fc.property(rects, rects, rects, hundredths(1, 100), (side, film, r, scale) => {
        const finished = finishedFromDrawn(side, scale);
        const onFilm = filmFromFinished(film);
        expectClose(finished.rectBack(finished.rect(r)), r);
        expectClose(onFilm.rectBack(onFilm.rect(r)), r);
        expectClose(finished.rectBack(onFilm.rectBack(onFilm.rect(finished.rect(r)))), r);
        const p = finished.pointBack(finished.point({ x: r.x, y: r.y }));
        expect(p.x).toBeCloseTo(r.x, 5);
        expect(p.y).toBeCloseTo(r.y, 5);
      }),
    );
  });

  it('film space keeps lengths', () => {
    const film = filmFromFinished({ x: 1245, y: -40, width: 1500, height: 2380 });
    expect(film.rect({ x: 1260, y: 0, width: 1420, height: 2270 })).toEqual({
      x: 15,
      y: 40,
      width: 1420,
      height: 2270,
    });
  });

  it('a point is 1/72 in: 14,400 units are 5,080 mm (ISO 32000-1, Annex C.2) [S]', () => {
    expect(14_400 * MM_PER_PT).toBeCloseTo(5080, 9);
    expect(ptFromMm(5080)).toBeCloseTo(14_400, 9);
    // 53 ft = 16,154.4 mm = 45,792 pt; a 1,524 × 2,700 mm panel = 4,320 × 7,653.5 pt [recomputed].
    expect(ptFromMm(16_154.4)).toBeCloseTo(45_792, 6);
    expect(ptFromMm(1524)).toBeCloseTo(4320, 6);
    expect(ptFromMm(2700)).toBeCloseTo(7653.5, 1);
    fc.assert(
      fc.property(length, (mm) => {
        expect(ptFromMm(mm) * MM_PER_PT).toBeCloseTo(mm, 8);
      }),
    );
  });
});

describe('rectangles', () => {
  it('grows by each edge of its own and shrinks back', () => {
    const by = { top: 3, right: 5, bottom: 7, left: 11 };
    expect(rectGrown({ x: 100, y: 200, width: 40, height: 60 }, by)).toEqual({
      x: 89,
      y: 197,
      width: 56,
      height: 70,
    });
    const back = { top: -3, right: -5, bottom: -7, left: -11 };
    fc.assert(fc.property(rects, (r) => expectClose(rectGrown(rectGrown(r, by), back), r)));
  });

  it('shares what both cover, and nothing where they only touch', () => {
    const a: Rect<'finished'> = { x: 0, y: 0, width: 10, height: 20 };
    expect(rectIntersection(a, { x: 7, y: 15, width: 9, height: 30 })).toEqual({
      x: 7,
      y: 15,
      width: 3,
      height: 5,
    });
    expect(rectIntersection(a, { x: 10, y: 0, width: 5, height: 5 })).toBeUndefined();
    expect(intervalIntersection({ start: 0, end: 5 }, { start: 3, end: 9 })).toEqual({ start: 3, end: 5 });
    expect(intervalIntersection({ start: 0, end: 5 }, { start: 5, end: 9 })).toBeUndefined();
    expect(intervalLength({ start: 3, end: 9.5 })).toBe(6.5);
  });

  it('an intersection lies in both, and what reaches out of the one is its excess', () => {
    fc.assert(
      fc.property(whole, whole, (a, b) => {
        const shared = rectIntersection<'finished'>(a, b);
        if (!shared) return;
        expect(isRectWithin(shared, a) && isRectWithin(shared, b)).toBe(true);
        const { top, right, bottom, left } = rectExcess<'finished'>(a, b);
        expect(rectGrown(shared, { top, right, bottom, left })).toEqual(a);
      }),
    );
  });

  it('the area of several rectangles counts overlaps once', () => {
    const cells = (rs: readonly Rect[]) => {
      const covered = new Set<string>();
      for (const r of rs) {
        for (let x = r.x; x < r.x + r.width; x++)
          for (let y = r.y; y < r.y + r.height; y++) covered.add(`${x} ${y}`);
      }
      return covered.size;
    };
    expect(rectsUnionArea([])).toBe(0);
    fc.assert(
      fc.property(fc.array(whole, { maxLength: 6 }), (rs) => {
        expect(rectsUnionArea(rs)).toBe(cells(rs));
        expect(rectsUnionArea(rs)).toBeLessThanOrEqual(rs.reduce((sum, r) => sum + rectArea(r), 0));
      }),
    );
  });
});

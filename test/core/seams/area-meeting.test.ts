import fc from 'fast-check';
import polygonClipping, { type Polygon } from 'polygon-clipping';
import { describe, expect, it } from 'vitest';
import { pointsHull } from '../../../core/measure/outline.ts';
import type { Point } from '../../../core/measure/rect.ts';
import {
  areaAcross,
  areaStretches,
  isBandInArea,
  isRectInArea,
  isRimGrazed,
} from '../../../core/seams/area-meeting.ts';
import { jointFromLap } from '../../../core/seams/plan-side.ts';
import { isSeamAllowed } from '../../../core/seams/seam-limits.ts';
import { seamParts } from '../../../core/seams/seam-parts.ts';
import { SliceBook } from '../../../core/seams/slice-costs.ts';
import { BODY_LAP, planSide } from '../../support/plan-sides.ts';

const outlined = (...corners: readonly (readonly [number, number])[]) => {
  const outline = corners.map(([x, y]): Point<'finished'> => ({ x, y }));
  return { id: 'area', rect: pointsHull(outline), outline };
};
/** A triangle that leaves half of the rectangle around it free. */
const wedge = outlined([1000, 300], [1600, 300], [1000, 900]);
const vertical = (at: number, from = 0, to = 2000) => ({ axis: 'vertical' as const, at, from, to });

const ring = (points: readonly { x: number; y: number }[]): Polygon => [points.map(({ x, y }) => [x, y])];
const areaOf = (found: ReturnType<typeof polygonClipping.intersection>) =>
  found.flat().reduce(
    (sum, points) =>
      sum +
      points.reduce((part, [x, y], n) => {
        const [nextX, nextY] = points[(n + 1) % points.length]!;
        return part + (x * nextY - nextX * y) / 2;
      }, 0),
    0,
  );

/** Corners around a middle, so that no two edges cross; many are not convex. */
const anyOutline = fc.array(fc.integer({ min: 20, max: 100 }), { minLength: 3, maxLength: 9 }).map((shares) =>
  outlined(
    ...shares.map((share, n) => {
      const turn = (2 * Math.PI * n) / shares.length + 0.1;
      return [500 + 4.03 * share * Math.cos(turn), 400 + 3.07 * share * Math.sin(turn)] as const;
    }),
  ),
);
const places = fc.record({
  axis: fc.constantFrom('vertical' as const, 'horizontal' as const),
  at: fc.integer({ min: 150, max: 750 }),
  from: fc.integer({ min: 0, max: 450 }),
  length: fc.integer({ min: 20, max: 600 }),
});

describe('areas with a closed outline', () => {
  it('a seam meets as much of them as a general polygon library cuts out', () => {
    let met = 0;
    fc.assert(
      fc.property(anyOutline, places, (area, { axis, at, from, length }) => {
        const place = { axis, at, from, to: from + length };
        const stretches = areaStretches(place, area);
        const isUpright = axis === 'vertical';
        const corner = (across: number, along: number) =>
          isUpright ? { x: across, y: along } : { x: along, y: across };
        const thin = 1e-3;
        const strip = ring([
          corner(at - thin, from),
          corner(at + thin, from),
          corner(at + thin, place.to),
          corner(at - thin, place.to),
        ]);
        const expected =
          Math.abs(areaOf(polygonClipping.intersection(strip, ring(area.outline)))) / (2 * thin);
        const length_ = stretches.reduce((sum, { start, end }) => sum + end - start, 0);
        expect(length_).toBeCloseTo(expected, 1);
        if (length_ > 0) met++;
        const band = ring([
          corner(at - 40, from),
          corner(at + 70, from),
          corner(at + 70, place.to),
          corner(at - 40, place.to),
        ]);
        const shared = Math.abs(areaOf(polygonClipping.intersection(band, ring(area.outline))));
        const seen = { before: 40, after: 70 };
        expect(isBandInArea(place, seen, area)).toBe(shared > 1e-4);
        const asPath = { ...place, path: [{ along: 0, across: at }] };
        expect(isBandInArea(asPath, seen, area)).toBe(shared > 1e-4);
        const framed = { ...area, margin: 30 };
        expect(isRimGrazed(asPath, framed)).toBe(isRimGrazed(place, framed));
        const level = areaStretches(asPath, area);
        expect(level.map(({ start }) => start)).toEqual(
          stretches.map(({ start }) => expect.closeTo(start, 6)),
        );
      }),
      { numRuns: 300, seed: 36 },
    );
    expect(met).toBeGreaterThan(80);
  });

  it('a strip lies in them where a general polygon library leaves nothing of it', () => {
    let within = 0;
    fc.assert(
      fc.property(anyOutline, places, (area, { axis, from, length }) => {
        const to = from + length / 6;
        for (const { start, end } of areaAcross(axis, area, from, to)) {
          const isUpright = axis === 'vertical';
          const box = isUpright
            ? { x: start, y: from, width: end - start, height: to - from }
            : { x: from, y: start, width: to - from, height: end - start };
          expect(isRectInArea(box, area)).toBe(true);
          const wider = isUpright ? { ...box, width: box.width + 1 } : { ...box, height: box.height + 1 };
          expect(isRectInArea(wider, area)).toBe(false);
          within++;
        }
      }),
      { numRuns: 400, seed: 37 },
    );
    expect(within).toBeGreaterThan(60);
  });

  it('a seam in the rectangle around them and beside their outline is free', () => {
    const lap = jointFromLap(BODY_LAP, 'vertical', 'right');
    const side = planSide({ width: 4000, height: 2000, noSeamAreas: [wedge] });
    expect(isSeamAllowed(side, vertical(1400), lap)).toBe(false);
    // At 1,400 the wedge ends at 500.
    expect(isSeamAllowed(side, vertical(1400, 500, 2000), lap)).toBe(true);
    expect(isSeamAllowed(side, vertical(1400, 499, 2000), lap)).toBe(false);
    expect(isBandInArea(vertical(1400, 500, 2000), { before: 0, after: 90 }, wedge)).toBe(false);
    expect(isBandInArea(vertical(1400, 500, 2000), { before: 90, after: 0 }, wedge)).toBe(true);
    const ground = planSide({ width: 4000, height: 2000, ground: [{ ...wedge, kind: 'recess' }] });
    expect(seamParts(ground, vertical(1400)).ground.recess).toBeCloseTo(0.2, 12);
  });

  it('crossing a no-film area at more than 45° is free, along its edge it is not', () => {
    const arch = { ...outlined([1000, 900], [1100, 500], [1500, 500], [1600, 900]), margin: 20 };
    const grazed = (at: number) => isRimGrazed(vertical(at), arch);
    // Its right edge runs 100 mm across over 400 mm up.
    expect([1300, 1470, 1481, 1550, 1619, 1620].map(grazed)).toEqual([false, false, true, true, true, false]);
    const lying = (at: number) => isRimGrazed({ axis: 'horizontal', at, from: 0, to: 4000 }, arch);
    expect([479, 480, 481, 500, 519, 521, 700].map(lying)).toEqual([
      false,
      false,
      true,
      true,
      true,
      false,
      false,
    ]);
  });

  it('each place over them has its own cost', () => {
    const side = planSide({ width: 4000, height: 2000, ground: [{ ...wedge, kind: 'recess' }] });
    const book = new SliceBook(side, 'vertical', jointFromLap(BODY_LAP, 'vertical', 'right'));
    const weights = { installMinute: 1, shopMinute: 0, visibleMeter: 0, letteringLine: 0, movedSeam: 0 };
    const units = book.strip(0, 2000).units(weights as never);
    const at = (place: number) => units[book.positions.indexOf(place)]!;
    const { flat, recess } = side.card.seamMinutesPerMeter;
    for (const place of [1001, 1237, 1599]) {
      const less = (at(place) - at(3000)) / (at(1001) - at(3000));
      expect(less).toBeCloseTo((1600 - place) / 599, 6);
    }
    expect(recess).toBeGreaterThan(flat);
  });
});

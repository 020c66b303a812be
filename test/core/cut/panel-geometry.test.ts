import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pagePlan } from '../../../core/cut/panel-geometry.ts';
import { MAX_PAGE_UNITS } from '../../../core/measure/page-limits.ts';
import { resultValue } from '../../support/panel-check.ts';

const film = (filmWidthMm: number, filmHeightMm: number) => ({ filmWidthMm, filmHeightMm });

describe('CUT4 the size of a panel page', () => {
  it('CUT4 14,400 units are 200 in, 5,080 mm: the most at true size (ISO 32000-1, Annex C.2)', () => {
    const plan = resultValue(pagePlan(film(1524, 5080), { kind: 'true-size' }));
    expect(plan.heightUnits).toBeCloseTo(14_400, 6);
    expect(plan.userUnit).toBe(1);
    expect(pagePlan(film(1524, 5080.1), { kind: 'true-size' })).toMatchObject({
      ok: false,
      problem: { code: 'cut-page-too-large' },
    });
  });

  it('CUT4 says what to choose instead', () => {
    // 53 ft: 16,154.4 mm are 45,792 units, so 1:4 is the first whole reduction that fits.
    const result = pagePlan(film(16_154.4, 1352), { kind: 'true-size' });
    expect(result.ok ? '' : result.problem.message).toBe(
      "The panel's film is 16154 × 1352 mm; at true size it is longer than the 5080 mm (14,400 units) that a PDF page can safely be.",
    );
    expect(result.ok ? '' : result.problem.remedy).toBe(
      'Select a reduction of 1:4 or more, or UserUnit if your RIP supports it.',
    );
  });

  it.each([
    [4, 11_448],
    [5, 9158.4],
    [10, 4579.2],
  ])('CUT4 53 ft reduced 1:%d is %d units long', (factor, units) => {
    const plan = resultValue(pagePlan(film(16_154.4, 1352), { kind: 'reduction', factor }));
    expect(plan.widthUnits).toBeCloseTo(units, 6);
    expect(plan).toMatchObject({ enlargeBy: factor, userUnit: 1 });
  });

  it('CUT4 a reduction that is not enough is refused too', () => {
    expect(pagePlan(film(16_154.4, 1352), { kind: 'reduction', factor: 3 }).ok).toBe(false);
  });

  it('CUT4 user units are the smallest whole number that fits, and none where none is needed', () => {
    const of = (length: number): number =>
      resultValue(pagePlan(film(length, 900), { kind: 'user-unit' })).userUnit;
    expect([of(5080), of(5080.1), of(10_160), of(16_154.4)]).toEqual([1, 2, 2, 4]);
  });

  it('CUT4 a page under 3 units is refused (ISO 32000-1, Annex C.2)', () => {
    expect(pagePlan(film(200, 50), { kind: 'reduction', factor: 50 })).toMatchObject({
      ok: false,
      problem: { code: 'cut-page-too-small' },
    });
  });

  it('CUT4 whatever the film, units × UserUnit × enlargement is its true size', () => {
    const length = fc.double({ min: 120, max: 60_000, noNaN: true });
    fc.assert(
      fc.property(
        length,
        length,
        fc.double({ min: 1.01, max: 100, noNaN: true }),
        (width, height, factor) => {
          for (const size of [
            { kind: 'user-unit' },
            { kind: 'reduction', factor },
            { kind: 'true-size' },
          ] as const) {
            const result = pagePlan(film(width, height), size);
            if (!result.ok) continue;
            const { widthUnits, heightUnits, userUnit, enlargeBy } = result.value;
            expect(Math.max(widthUnits, heightUnits)).toBeLessThanOrEqual(MAX_PAGE_UNITS + 1e-6);
            expect(((widthUnits * userUnit * enlargeBy) / 72) * 25.4).toBeCloseTo(width, 6);
            expect(((heightUnits * userUnit * enlargeBy) / 72) * 25.4).toBeCloseTo(height, 6);
          }
        },
      ),
    );
  });
});

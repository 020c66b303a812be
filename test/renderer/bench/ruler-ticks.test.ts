import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rulerTicks } from '../../../renderer/bench/ruler-ticks.ts';

const labels = (from: number, to: number, pxPerMm: number, unit: 'mm' | 'in') =>
  rulerTicks(from, to, pxPerMm, unit, 64).flatMap(({ label }) => label ?? []);

describe('the rulers of the bench', () => {
  it('count in round millimeters', () => {
    expect(labels(-130, 460, 0.7, 'mm')).toEqual(['-100', '0', '100', '200', '300', '400']);
    expect(labels(1003, 1021, 40, 'mm')).toEqual([
      '1004',
      '1006',
      '1008',
      '1010',
      '1012',
      '1014',
      '1016',
      '1018',
      '1020',
    ]);
  });

  it('count in whole feet of inches when a unit is seen whole', () => {
    expect(labels(0, 1250, 0.22, 'in')).toEqual(['0', '12', '24', '36', '48']);
  });

  it('count in quarters of an inch at the largest zoom', () => {
    expect(labels(25, 40, 11, 'in')).toEqual(['1', '1.25', '1.5']);
  });

  it.each(['mm', 'in'] as const)('never crowd their numbers, in %s', (unit) => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.008, max: 30, noNaN: true }),
        fc.double({ min: -50_000, max: 50_000, noNaN: true }),
        (pxPerMm, from) => {
          const ticks = rulerTicks(from, from + 900 / pxPerMm, pxPerMm, unit, 64);
          const numbered = ticks.filter(({ label }) => label !== undefined);
          for (const [index, tick] of numbered.slice(1).entries()) {
            expect((tick.atMm - numbered[index]!.atMm) * pxPerMm).toBeGreaterThanOrEqual(64 - 1e-6);
          }
          expect(ticks.length).toBeLessThan(400);
        },
      ),
    );
  });
});

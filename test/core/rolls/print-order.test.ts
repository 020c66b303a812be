import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { longestRisingRun, outOfOrderCount } from '../../../core/rolls/print-order.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import { panelOf, rollOf, rulesOf } from '../../support/roll-plan-cases.ts';

describe('print order', () => {
  it('counts the panels that would have to be moved, side by side', () => {
    const printed = [2, 1, 3, 5, 4].map((number) => panelOf(number, 500, 900));
    expect(outOfOrderCount(printed, 'first-installed-first')).toBe(2);
    expect(outOfOrderCount(printed, 'last-installed-first')).toBe(3);
    expect(outOfOrderCount(printed, 'any')).toBe(0);
    const mixed = printed.map((item, index) => ({ ...item, sideId: index % 2 === 0 ? 'lh' : 'rh' }));
    expect(outOfOrderCount(mixed, 'first-installed-first')).toBe(0);
  });

  it('the longest rising run equals the longest of all subsequences that never fall', () => {
    const byTryingAll = (numbers: readonly number[]): number => {
      let longest = 0;
      for (let bits = 0; bits < 2 ** numbers.length; bits++) {
        const some = numbers.filter((_, index) => (bits >> index) % 2 === 1);
        if (some.every((number, index) => index === 0 || some[index - 1]! <= number)) {
          longest = Math.max(longest, some.length);
        }
      }
      return longest;
    };
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 9 }), { maxLength: 9 }), (numbers) => {
        expect(longestRisingRun(numbers)).toBe(byTryingAll(numbers));
      }),
    );
  });

  it('panels of one size come off the printer in install order, or in the reverse where that is wanted', () => {
    const shuffled = [5, 2, 7, 1, 4, 6, 3].map((number) => panelOf(number, 610, 1400));
    const printed = (printOrder: 'first-installed-first' | 'last-installed-first'): string[] =>
      rollPlan(shuffled, [rollOf()], rulesOf({ printOrder })).placements.map((place) => place.panelId);
    const rising = ['lh-1', 'lh-2', 'lh-3', 'lh-4', 'lh-5', 'lh-6', 'lh-7'];
    expect(printed('first-installed-first')).toEqual(rising);
    expect(printed('last-installed-first')).toEqual(rising.toReversed());
  });

  it('no film is spent for the order: what stays out of order is counted and noted', () => {
    // 1 and 4 are the only pair that fits beside each other, so one of them leaves its turn.
    const items = [
      panelOf(1, 900, 1500),
      panelOf(2, 1200, 1500),
      panelOf(3, 1250, 1500),
      panelOf(4, 420, 1500),
    ];
    const plan = rollPlan(items, [rollOf()], rulesOf());
    expect(plan.filmUsedMm).toBe(210 + 3 * 1500 + 2 * 15 + 170);
    expect(plan.outOfOrder).toBe(1);
    expect(plan.findings.map((finding) => finding.message)).toEqual([
      '1 panel prints out of the install order.',
    ]);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { martelloMonaciVigoBound, nestBounds } from '../../../core/nesting/nest-bounds.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import { perfectStrips } from '../../support/perfect-strips.ts';
import { rollCaseFromStrip, stripInstancesFromFile } from '../../support/strip-instances.ts';

describe('lower bounds of a strip', () => {
  it('the worked example: area 10, bound 12, optimum 13', () => {
    // Width 10, two items 7 × 4, two 4 × 5. The bound's formula: Martello, Monaci, Vigo (2003), from memory.
    const items = [
      { width: 7, height: 4 },
      { width: 4, height: 5 },
      { width: 7, height: 4 },
      { width: 4, height: 5 },
    ];
    const bounds = nestBounds(items, 10);
    expect(bounds).toEqual({ area: 10, tallest: 5, wideStack: 8, martelloMonaciVigo: 12, best: 12 });
    const { items: panels, rolls, rules } = rollCaseFromStrip(items, 10);
    expect(rollPlan(panels, rolls, rules).filmUsedMm).toBe(13);
  });

  it('a narrow item counts where it fits beside no wide one', () => {
    // By hand, width 11: an item 8 wide leaves 3, so the 4 wide ones stand above it, two side by side with 3 lost.
    expect(
      martelloMonaciVigoBound(
        [
          { width: 8, height: 6 },
          { width: 4, height: 7 },
          { width: 4, height: 7 },
          { width: 3, height: 2 },
        ],
        11,
      ),
    ).toBe(12);
  });

  it('lengths that are not whole numbers are not rounded up', () => {
    const bounds = nestBounds(
      [
        { width: 2.5, height: 1.3 },
        { width: 1.1, height: 0.7 },
      ],
      5.2,
    );
    expect(bounds.area).toBeCloseTo((2.5 * 1.3 + 1.1 * 0.7) / 5.2, 12);
    expect(bounds.best).toBe(1.3);
  });

  it('no bound is above the optimum of the 21 instances of Hopper and Turton (2001)', () => {
    const instances = stripInstancesFromFile();
    expect(instances).toHaveLength(21);
    for (const { items, stripWidth, optimalHeight } of instances) {
      const { area, ...others } = nestBounds(items, stripWidth);
      expect(area).toBe(optimalHeight); // every instance is a packing without waste
      for (const bound of Object.values(others)) expect(bound).toBeLessThanOrEqual(optimalHeight);
    }
  });

  it('no bound is above the optimum of strips cut at random', () => {
    fc.assert(
      fc.property(perfectStrips(30), ({ items, stripWidth, optimalHeight }) => {
        expect(nestBounds(items, stripWidth).best).toBe(optimalHeight);
      }),
    );
  });
});

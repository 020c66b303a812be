import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planUnits } from '../../../core/seams/plan-figures.ts';
import { limitsBroken } from '../../../core/seams/plan-limits.ts';
import { PLAN_AIMS, type PlanAim, weightsFromAim } from '../../../core/seams/plan-objective.ts';
import type { PlanSide } from '../../../core/seams/plan-side.ts';
import type { PlanScope } from '../../../core/seams/section-edges.ts';
import { sectionGround } from '../../../core/seams/section-ground.ts';
import { sectionSearch } from '../../../core/seams/section-search.ts';
import { onlyStock, randomSide } from '../../support/random-sides.ts';
import { leastMixedUnits, leastSequenceUnits } from '../../support/seam-brute-force.ts';
import { seriesRuns } from '../../support/series.ts';

/** Adding up in another order may change the last bits of a sum, and each seam is rounded to a unit. */
const isSameUnits = (a: number, b: number): boolean => Math.abs(a - b) <= 20 + 1e-9 * Math.abs(a);

function compare(side: PlanSide, scope: PlanScope, aim: PlanAim): 'planned' | 'impossible' {
  const stock = onlyStock(side);
  const weights = weightsFromAim(side.card, aim);
  const ground = sectionGround(side, stock, scope);
  const plan = sectionSearch(ground, weights);
  const least =
    scope === 'mixed'
      ? leastMixedUnits(side, stock, weights)
      : leastSequenceUnits(side, stock, scope, weights);
  if (!plan || least === undefined || least === Number.POSITIVE_INFINITY) {
    expect([plan?.units, least ?? Number.POSITIVE_INFINITY]).toEqual([undefined, Number.POSITIVE_INFINITY]);
    return 'impossible';
  }
  expect(limitsBroken(side, stock, plan.tree)).toEqual([]);
  expect(isSameUnits(plan.units, planUnits(side, stock, weights, plan.tree)!)).toBe(true);
  expect([plan.units, least, isSameUnits(plan.units, least)]).toEqual([plan.units, least, true]);
  // With a plan in hand that costs as much, the search gives up early what is dearer, and finds the same.
  const again = sectionSearch(ground, weights, { atMost: plan.units });
  expect(again?.units).toBe(plan.units);
  const better = sectionSearch(ground, weights, { atMost: plan.units - 1 - 1e-6 * Math.abs(plan.units) });
  expect(better === undefined || better.units === plan.units).toBe(true);
  return 'planned';
}

describe('the search against every layout written down', () => {
  it('a plain sequence of seams is the cheapest of all placements', () => {
    const counts = { planned: 0, impossible: 0 };
    const runs = seriesRuns(150, 15_000, 11);
    fc.assert(
      fc.property(
        randomSide({ width: [8, 21], height: [6, 14], roll: [9, 18], linesEachWay: 2 }),
        fc.constantFrom('vertical' as const, 'horizontal' as const),
        fc.constantFrom(...PLAN_AIMS),
        (side, scope, aim) => {
          counts[compare(side, scope, aim)]++;
        },
      ),
      runs,
    );
    expect(Math.min(counts.planned, counts.impossible)).toBeGreaterThan(runs.numRuns / 8);
  });

  it('mixed sections are the cheapest of all partitions along lines', () => {
    const counts = { planned: 0, impossible: 0 };
    const runs = seriesRuns(24, 2400, 12);
    fc.assert(
      fc.property(
        randomSide({ width: [8, 20], height: [6, 14], roll: [8, 16], linesEachWay: 2 }),
        fc.constantFrom(...PLAN_AIMS),
        (side, aim) => {
          counts[compare(side, 'mixed', aim)]++;
        },
      ),
      runs,
    );
    expect(Math.min(counts.planned, counts.impossible)).toBeGreaterThan(runs.numRuns / 8);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PLAN_AIMS, weightsFromAim } from '../../../core/seams/plan-objective.ts';
import { sectionGround } from '../../../core/seams/section-ground.ts';
import { sectionSearch } from '../../../core/seams/section-search.ts';
import { mediumSide, onlyStock } from '../../support/random-sides.ts';
import { leastSequenceByMip } from '../../support/sequence-mip.ts';
import { seriesRuns } from '../../support/series.ts';

describe('the search against a general solver', () => {
  it('a plain sequence of seams costs what HiGHS finds as the least', async () => {
    const counts = { planned: 0, impossible: 0 };
    const runs = seriesRuns(10, 360, 13);
    await fc.assert(
      fc.asyncProperty(mediumSide, fc.constantFrom(...PLAN_AIMS), async (side, aim) => {
        const stock = onlyStock(side);
        const weights = weightsFromAim(side.card, aim);
        const plan = sectionSearch(sectionGround(side, stock, 'vertical'), weights);
        const least = await leastSequenceByMip(side, stock, weights);
        counts[plan ? 'planned' : 'impossible']++;
        if (!plan || least === undefined) expect([plan?.units, least]).toEqual([undefined, undefined]);
        else expect(Math.abs(plan.units - least)).toBeLessThan(50 + 1e-8 * Math.abs(least));
      }),
      runs,
    );
    expect(Math.min(counts.planned, counts.impossible)).toBeGreaterThan(runs.numRuns / 12);
  });
});

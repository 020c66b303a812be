import fc from 'fast-check';
import { expect, it } from 'vitest';
import { NO_WEIGHTS } from '../../../core/seams/plan-objective.ts';
import type { PlanSide } from '../../../core/seams/plan-side.ts';
import type { PlanScope } from '../../../core/seams/section-edges.ts';
import { isSectionFeasible } from '../../../core/seams/section-feasibility.ts';
import { sectionGround } from '../../../core/seams/section-ground.ts';
import { sectionSearch } from '../../../core/seams/section-search.ts';
import { mediumSide, onlyStock, randomSide } from '../../support/random-sides.ts';
import { seriesRuns } from '../../support/series.ts';

const SCOPES: readonly PlanScope[] = ['vertical', 'horizontal', 'mixed'];

/** How many sides of a kind have a plan and how many have none, as both searches say. */
function counted(sides: fc.Arbitrary<PlanSide>, runs: { readonly numRuns: number }) {
  const seen = { possible: 0, impossible: 0 };
  fc.assert(
    fc.property(sides, fc.constantFrom(...SCOPES), (side, scope) => {
      const ground = () => sectionGround(side, onlyStock(side), scope);
      const isPossible = sectionSearch(ground(), NO_WEIGHTS) !== undefined;
      expect(isSectionFeasible(ground())).toBe(isPossible);
      seen[isPossible ? 'possible' : 'impossible']++;
    }),
    runs,
  );
  return seen;
}

it('whether any plan exists is answered as the search for the cheapest answers it', () => {
  const small = seriesRuns(400, 30_000, 14);
  const found = counted(
    randomSide({ width: [8, 20], height: [6, 14], roll: [8, 16], linesEachWay: 2 }),
    small,
  );
  expect(Math.min(found.possible, found.impossible)).toBeGreaterThan(small.numRuns / 15);
  const medium = seriesRuns(30, 1000, 14);
  expect(counted(mediumSide, medium).possible).toBeGreaterThan(medium.numRuns / 10);
});

it('asking whether any plan exists can be called off', () => {
  const side = fc.sample(mediumSide, { numRuns: 1, seed: 4 })[0]!;
  const calledOff = new Error('called off');
  const ask = () =>
    isSectionFeasible(sectionGround(side, onlyStock(side), 'mixed'), () => {
      throw calledOff;
    });
  expect(ask).toThrow(calledOff);
});

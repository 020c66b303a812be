import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rollPlanCheck } from '../../../core/rolls/roll-check.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import { panelsLeftJoined } from '../../support/cut-check.ts';
import { rollCases } from '../../support/roll-plan-cases.ts';
import { rollPlanFaults } from '../../support/roll-plan-faults.ts';
import { leastFilmAreaByMip } from '../../support/roll-plan-mip.ts';
import { seriesRuns } from '../../support/series.ts';

/** Short searches: these properties hold for any plan, good or less good. */
const SHORT = {
  nodes: 3000,
  nodesPerRoll: 300,
  mostCombinations: 64,
  mostTrials: 100,
  improvementNodes: 2000,
};

describe('the roll planner', () => {
  it('parts every panel by straight cuts from edge to edge, across the roll first', () => {
    fc.assert(
      fc.property(rollCases(24), ({ items, rolls, rules }) => {
        const plan = rollPlan(items, rolls, rules, SHORT);
        expect(panelsLeftJoined(items, plan.placements)).toEqual([]);
      }),
    );
  });

  it('RL6 keeps margins, gaps, lead-in, tail, longest print, sides and directions', () => {
    fc.assert(
      fc.property(rollCases(24), ({ items, rolls, rules }) => {
        const plan = rollPlan(items, rolls, rules, SHORT);
        expect(rollPlanFaults(items, rolls, rules, plan.placements)).toEqual([]);
        const places = plan.placements.map((place) => place.panelId);
        expect([...places, ...plan.unplacedPanelIds].sort()).toEqual(
          items.map((item) => item.panelId).sort(),
        );
      }),
    );
  });

  it('RL7 uses as little film as a general solver finds for small plans', async () => {
    let compared = 0;
    const runs = seriesRuns(10, 500);
    await fc.assert(
      fc.asyncProperty(rollCases(6), async ({ items, rolls, rules }) => {
        const plan = rollPlan(items, rolls, rules);
        const least = await leastFilmAreaByMip(items, rolls, rules);
        if (plan.unplacedPanelIds.length > 0) {
          expect(least).toBeUndefined();
          return;
        }
        compared++;
        expect(plan.isShortest).toBe(true);
        expect(plan.filmAreaMm2 / least!).toBeCloseTo(1, 9);
      }),
      runs,
    );
    expect(compared).toBeGreaterThan(runs.numRuns / 5);
  });

  it('no plan uses less film than its bound, and a distance of 0 means proved', () => {
    fc.assert(
      fc.property(rollCases(16), ({ items, rolls, rules }) => {
        const plan = rollPlan(items, rolls, rules, SHORT);
        expect(plan.filmAreaMm2).toBeGreaterThanOrEqual(plan.bound.areaMm2 * (1 - 1e-9));
        expect(plan.distancePercent).toBeGreaterThanOrEqual(0);
        if (plan.isShortest) expect(plan.distancePercent).toBeLessThan(1e-9);
      }),
    );
  });

  it('its own check agrees with the plan', () => {
    fc.assert(
      fc.property(rollCases(16), ({ items, rolls, rules }) => {
        const plan = rollPlan(items, rolls, rules, SHORT);
        const laid = items.filter((item) => !plan.unplacedPanelIds.includes(item.panelId));
        const check = rollPlanCheck(laid, rolls, rules, plan.placements);
        expect(check.findings.filter((finding) => finding.severity !== 'note')).toEqual([]);
        expect(check.filmUsedMm).toBe(plan.filmUsedMm);
      }),
    );
  });
});

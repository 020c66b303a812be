import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fleetPlan } from '../../../core/rolls/fleet-plan.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import type { PackItem } from '../../../core/shop/rolls.ts';
import { itemPanelId } from '../../../core/shop/rolls.ts';
import { panelOf, type RollCase, rollCases, rollOf, rulesOf } from '../../support/roll-plan-cases.ts';
import { rollPlanFaults } from '../../support/roll-plan-faults.ts';
import { leastFilmAreaByMip } from '../../support/roll-plan-mip.ts';
import { seriesRuns } from '../../support/series.ts';

const SHORT = {
  nodes: 3000,
  nodesPerRoll: 300,
  mostCombinations: 64,
  mostTrials: 100,
  improvementNodes: 2000,
};

/** The panels of one vehicle, repeated for a number of vehicles, as a job makes them. */
const fleetOf = (set: readonly PackItem[], count: number): PackItem[] =>
  Array.from({ length: count }, (_, index) =>
    set.map((item) => {
      const end = index === 0 ? '' : `/${index + 1}`;
      return {
        ...item,
        panelId: `job/${item.panelId}${end}`,
        sideId: `job/${item.sideId}${end}`,
        unit: `BM-${index + 1}`,
      };
    }),
  ).flat();

const alikeRolls = (count: number, usableLengthMm: number) =>
  Array.from({ length: count }, (_, index) => rollOf({ id: `roll-${index}`, usableLengthMm }));

/** Sets of a few panels on as many like rolls as they may need. */
const fleetCases = (mostPanels: number): fc.Arbitrary<RollCase & { readonly count: number }> =>
  fc
    .record({ base: rollCases(mostPanels), count: fc.integer({ min: 2, max: 3 }) })
    .map(({ base, count }) => ({
      ...base,
      count,
      items: fleetOf(base.items, count),
      rolls: alikeRolls(2 * count, base.rolls[0]!.usableLengthMm),
    }));

describe('panels of a fleet on rolls', () => {
  it('FLT1 n vehicles never take more film than n times one, nested together or set by set', () => {
    let compared = 0;
    fc.assert(
      fc.property(fleetCases(8), ({ items, rolls, rules, count }) => {
        const one = rollPlan(items.slice(0, items.length / count), rolls, rules, SHORT);
        if (one.unplacedPanelIds.length > 0) return;
        for (const order of ['together', 'set-by-set'] as const) {
          const plan = fleetPlan(items, rolls, rules, order, { effort: SHORT });
          expect(plan.unplacedPanelIds).toEqual([]);
          expect(rollPlanFaults(items, rolls, rules, plan.placements)).toEqual([]);
          expect(plan.filmAreaMm2).toBeLessThanOrEqual(count * one.filmAreaMm2 * (1 + 1e-9));
          expect(plan.filmAreaMm2).toBeGreaterThanOrEqual(plan.bound.areaMm2 * (1 - 1e-9));
          compared++;
        }
      }),
    );
    expect(compared).toBeGreaterThan(20);
  });

  it('nested together, a small fleet takes as little film as a general solver finds', async () => {
    let compared = 0;
    const runs = seriesRuns(6, 200);
    await fc.assert(
      fc.asyncProperty(fleetCases(2), async ({ items, count }) => {
        const rolls = alikeRolls(1, 22_860);
        const rules = rulesOf({
          gapMm: 13,
          sideOnOneRoll: false,
          sideInOneDirection: false,
          printOrder: 'any',
        });
        const plan = fleetPlan(items, rolls, rules, 'together');
        const least = await leastFilmAreaByMip(items, rolls, rules);
        if (plan.unplacedPanelIds.length > 0) {
          expect(least).toBeUndefined();
          return;
        }
        expect(count).toBeGreaterThan(1);
        expect(plan.filmAreaMm2 / least!).toBeCloseTo(1, 9);
        compared++;
      }),
      runs,
    );
    expect(compared).toBeGreaterThan(runs.numRuns / 3);
  });

  it('two door panels of 600 mm lie side by side, of one vehicle and another', () => {
    // 1,349.6 mm print; two panels of 600 mm and a gap of 15 mm take 1,215 mm, so two vehicles take the length of one.
    const set = [panelOf(1, 600, 2000)];
    const lengthOf = (order: 'together' | 'set-by-set') =>
      fleetPlan(fleetOf(set, 2), alikeRolls(2, 22_860), rulesOf(), order).filmUsedMm;
    expect(lengthOf('together')).toBe(210 + 2000 + 170);
    expect(lengthOf('set-by-set')).toBe(210 + 2000 + 15 + 2000 + 170);
  });

  it('FLT3 set by set, all of one vehicle prints before the next, in the order of the units', () => {
    const set = [panelOf(1, 700, 2600), panelOf(2, 1200, 1700), panelOf(3, 610, 2500, { sideId: 'rh' })];
    const items = fleetOf(set, 4);
    // Each set is 4,315 mm long, so that two go on a roll of 9.5 m.
    const plan = fleetPlan(items, alikeRolls(8, 9500), rulesOf(), 'set-by-set');
    const unitOf = new Map(items.map(({ panelId, unit }) => [panelId, unit]));
    const printed = plan.placements.map(({ panelId }) => unitOf.get(panelId)!);
    expect(printed).toEqual(printed.toSorted());
    expect(new Set(printed).size).toBe(4);
    expect(plan.uses.length).toBe(2);
    expect(new Set(plan.placements.map(({ panelId }) => itemPanelId(panelId)))).toEqual(
      new Set(['lh-1', 'lh-2', 'lh-3']),
    );
  });

  it('a hundred vehicles of one layout are nested from one set', () => {
    const set = Array.from({ length: 5 }, (_, index) =>
      panelOf(index + 1, 300 + 130 * index, 900 + 210 * index),
    );
    let looks = 0;
    const items = fleetOf(set, 100);
    const plan = fleetPlan(items, alikeRolls(120, 22_860), rulesOf(), 'set-by-set', {
      effort: SHORT,
      look: () => {
        looks++;
      },
    });
    const ofOne = fleetPlan(set, alikeRolls(120, 22_860), rulesOf(), 'set-by-set', { effort: SHORT });
    let looksOfOne = 0;
    rollPlan(
      set.map((item) => ({ ...item, installOrder: item.installOrder })),
      alikeRolls(120, 22_861),
      rulesOf(),
      SHORT,
      () => {
        looksOfOne++;
      },
    );
    expect(plan.unplacedPanelIds).toEqual([]);
    expect(plan.filmUsedMm).toBeLessThanOrEqual(100 * ofOne.filmUsedMm);
    expect(looks).toBeLessThanOrEqual(looksOfOne);
  });
});

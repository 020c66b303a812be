import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import { panelsLeftJoined } from '../../support/cut-check.ts';
import { panelOf, rollCases, rollOf, rulesOf } from '../../support/roll-plan-cases.ts';
import { rollPlanFaults } from '../../support/roll-plan-faults.ts';

const SHORT = {
  nodes: 3000,
  nodesPerRoll: 300,
  mostCombinations: 64,
  mostTrials: 100,
  improvementNodes: 2000,
};

describe('locked panels', () => {
  it('RL10 stay where they are while the others are planned anew around them', () => {
    fc.assert(
      fc.property(rollCases(14), fc.nat(), fc.nat(), ({ items, rolls, rules }, pick, shift) => {
        const first = rollPlan(items, rolls, rules, SHORT);
        const places = new Map(first.placements.map(({ panelId, ...place }) => [panelId, place]));
        const kept = first.placements[pick % Math.max(1, first.placements.length)];
        const lockedItems = items.map((item, index) => {
          const place = places.get(item.panelId);
          if (!place || !(item.panelId === kept?.panelId || (index + shift) % 3 === 0)) return item;
          return { ...item, locked: place };
        });
        const plan = rollPlan(lockedItems, rolls, rules, SHORT);
        for (const item of lockedItems) {
          if (!item.locked) continue;
          expect(plan.placements).toContainEqual({ panelId: item.panelId, ...item.locked });
        }
        expect(rollPlanFaults(items, rolls, rules, plan.placements)).toEqual([]);
        expect(panelsLeftJoined(items, plan.placements)).toEqual([]);
      }),
    );
  });

  it('RL10 film before and beside a locked panel is used before new film', () => {
    const locked = { rollId: 'roll-a', xMm: 9, yMm: 1810, turned: false };
    const items = [
      panelOf(1, 700, 2100, { locked }),
      panelOf(2, 620, 2090),
      panelOf(3, 1300, 1570),
      panelOf(4, 1310, 890),
    ];
    const plan = rollPlan(items, [rollOf()], rulesOf());
    expect(plan.placements.map(({ panelId, xMm, yMm }) => [panelId, xMm, yMm])).toEqual([
      ['lh-3', 9, 210],
      ['lh-1', 9, 1810],
      ['lh-2', 724, 1810],
      ['lh-4', 9, 3925],
    ]);
    expect(plan.filmUsedMm).toBe(3925 + 890 + 170);
  });

  it('RL10 locking a panel where the plan laid it costs no film', () => {
    fc.assert(
      fc.property(rollCases(6), fc.nat(), ({ items, rolls, rules: anyRules }, pick) => {
        const rules = { ...anyRules, sideOnOneRoll: true, sideInOneDirection: true };
        const first = rollPlan(items, rolls, rules);
        fc.pre(first.unplacedPanelIds.length === 0);
        const { panelId, ...place } = first.placements[pick % first.placements.length]!;
        const withLock = items.map((item) => (item.panelId === panelId ? { ...item, locked: place } : item));
        const plan = rollPlan(withLock, rolls, rules);
        expect(plan.unplacedPanelIds).toEqual([]);
        expect(plan.filmAreaMm2).toBeCloseTo(first.filmAreaMm2, 3);
      }),
    );
  });

  it('RL10 a longer panel may lie beside a locked one', () => {
    const locked = { rollId: 'roll-a', xMm: 9, yMm: 210, turned: false };
    const items = [panelOf(1, 700, 900, { locked }), panelOf(2, 620, 2090), panelOf(3, 1300, 1570)];
    const plan = rollPlan(items, [rollOf()], rulesOf());
    expect(plan.filmUsedMm).toBe(210 + 2090 + 15 + 1570 + 170);
  });

  it('RL10 a lock to a roll that is gone is named, and the panel laid anew', () => {
    const locked = { rollId: 'roll-z', xMm: 9, yMm: 210, turned: false };
    const plan = rollPlan([panelOf(1, 700, 2100, { locked })], [rollOf()], rulesOf());
    expect(plan.findings.map((finding) => finding.code)).toEqual(['roll-locked-roll-missing']);
    expect(plan.placements).toEqual([{ panelId: 'lh-1', rollId: 'roll-a', xMm: 9, yMm: 210, turned: false }]);
  });
});

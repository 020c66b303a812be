import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fillFits, fillPlan, usesWithFill } from '../../../core/rolls/fill-plan.ts';
import { rollPlanCheck } from '../../../core/rolls/roll-check.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import type { FillItem } from '../../../core/shop/fill-item.ts';
import { panelOf, rollCases, rollOf, rulesOf } from '../../support/roll-plan-cases.ts';

const SHORT = { nodes: 1000, nodesPerRoll: 100, mostCombinations: 16, mostTrials: 20, improvementNodes: 200 };

const piece = (id: string, widthMm: number, heightMm: number, more: Partial<FillItem> = {}): FillItem => ({
  ...{ id, label: id, kind: 'other', need: 'soon', widthMm, heightMm, count: 1 },
  ...more,
});

/** Two panels side by side and one behind them; 1,349.6 mm print, from 9 mm on. */
const rolls = [rollOf()];
const rules = rulesOf({ gapMm: 15 });
const items = [panelOf(1, 700, 2000), panelOf(2, 400, 1500), panelOf(3, 1000, 900)];
const plan = rollPlan(items, rolls, rules);
const placesOf = (list: readonly FillItem[]) =>
  fillPlan(plan.uses, rolls, rules, list).placed.map(({ item, place: { xMm, yMm, turned } }) => ({
    label: item.label,
    ...{ xMm, yMm, turned },
  }));

describe('small pieces in the waste beside panels', () => {
  it('FL1 the waste beside panels is what margins, spaces and cuts leave of it', () => {
    // Band 1 runs from 210 to 2,210: beside 700 and 400 mm with their spaces, 1,349.6 − 1,130 = 219.6 mm stay to the right
    // margin. Behind the shorter panel 1,500 mm + 15 mm leave 485 mm. Band 2 from 2,225: 1,349.6 − 1,015 = 334.6 mm.
    const { spaces } = fillPlan(plan.uses, rolls, rules, []);
    const sizes = spaces.map(({ box }) =>
      [box.x1 - box.x0, box.y1 - box.y0].map((mm) => Math.round(mm * 10) / 10),
    );
    expect(sizes).toEqual([
      [219.6, 2000],
      [334.6, 900],
      [400, 485],
    ]);
  });

  it('FL1 pieces keep every rule of a nesting, and make no roll longer', () => {
    let lain = 0;
    const pieces = fc.array(
      fc.record({
        widthMm: fc.integer({ min: 30, max: 700 }),
        heightMm: fc.integer({ min: 30, max: 900 }),
        count: fc.integer({ min: 1, max: 4 }),
        need: fc.constantFrom('now' as const, 'soon' as const, 'spare' as const),
      }),
      { minLength: 1, maxLength: 5 },
    );
    fc.assert(
      fc.property(rollCases(6), pieces, ({ items: panels, rolls: on, rules: by }, list) => {
        const nested = rollPlan(panels, on, by, SHORT);
        const wanted = list.map(({ widthMm, heightMm, ...more }, index) =>
          piece(`w${index}`, widthMm, heightMm, more),
        );
        const fill = fillPlan(nested.uses, on, by, wanted);
        const all = [...panels, ...fill.placed.map(({ item }) => item)].filter(
          ({ panelId }) => !nested.unplacedPanelIds.includes(panelId),
        );
        const places = [...nested.placements, ...fill.placed.map(({ place }) => place)];
        const checked = rollPlanCheck(all, on, { ...by, printOrder: 'any' }, places);
        const before = rollPlanCheck(
          panels.filter(({ panelId }) => !nested.unplacedPanelIds.includes(panelId)),
          on,
          { ...by, printOrder: 'any' },
          nested.placements,
        );
        expect(checked.findings).toEqual(before.findings);
        expect(checked.filmUsedMm).toBe(nested.filmUsedMm);
        expect(usesWithFill(nested.uses, on, fill.placed)).toEqual(checked.uses);
        const left = [...fill.left.values()].reduce((sum, count) => sum + count, 0);
        expect(fill.placed.length + left).toBe(wanted.reduce((sum, { count }) => sum + count, 0));
        // What is left fits nowhere, however it lies.
        for (const item of wanted) if (fill.left.has(item.id)) expect(fillFits(item, fill.free)).toBe(false);
        lain += fill.placed.length;
      }),
    );
    expect(lain).toBeGreaterThan(100);
  });

  it('FL2 what is needed most has the first choice, of equal need the larger', () => {
    // One space of 334.6 × 900 mm takes one of them, 330 mm wide; the one of 219.6 mm takes none.
    const wide = (id: string, more: Partial<FillItem>) => piece(id, 330, 800, more);
    const list = [wide('logo', { need: 'spare' }), wide('patch', { need: 'now' }), wide('number', {})];
    const fill = fillPlan(plan.uses, rolls, rules, list);
    expect(fill.placed.map(({ item }) => item.label)).toEqual(['patch']);
    expect(Object.fromEntries(fill.left)).toEqual({ logo: 1, number: 1 });
    const alike = fillPlan(plan.uses, rolls, rules, [piece('small', 320, 700), piece('large', 330, 850)]);
    expect(alike.placed.map(({ item }) => item.label)).toEqual(['large']);
  });

  it('FL3 a piece lies turned where it fits no other way, and several lie one behind the other', () => {
    expect(placesOf([piece('strip', 1800, 200)])).toEqual([
      { label: 'strip', xMm: 9 + 700 + 15 + 400 + 15, yMm: 210, turned: true },
    ]);
    const three = placesOf([piece('18', 210, 390, { count: 3 })]);
    expect(three.map(({ yMm }) => yMm)).toEqual([210, 615, 1020]);
    expect(three.map(({ label }) => label)).toEqual(['18 1 of 3', '18 2 of 3', '18 3 of 3']);
    const many = fillPlan(plan.uses, rolls, rules, [piece('18', 210, 390, { count: 40 })]);
    expect(many.left.get('18')).toBe(40 - many.placed.length);
    expect(many.placed.length).toBeGreaterThan(5);
  });
});

import { describe, expect, it } from 'vitest';
import { rollPlanCheck } from '../../../core/rolls/roll-check.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import type { RollPlacement, RollRules } from '../../../core/shop/rolls.ts';
import { countedReads } from '../../support/counted-reads.ts';
import { panelOf, rollOf, rulesOf } from '../../support/roll-plan-cases.ts';

const ROLLS = [
  rollOf({ usableLengthMm: 9000 }),
  rollOf({ id: 'roll-b', label: 'Roll B', usableLengthMm: 7000 }),
];
const ITEMS = [panelOf(1, 700, 2000), panelOf(2, 610, 1800), panelOf(3, 1200, 1500)];
const GOOD: RollPlacement[] = [
  { panelId: 'lh-1', rollId: 'roll-a', xMm: 9, yMm: 210, turned: false },
  { panelId: 'lh-2', rollId: 'roll-a', xMm: 724, yMm: 210, turned: false },
  { panelId: 'lh-3', rollId: 'roll-a', xMm: 20, yMm: 2225, turned: false },
];

/** The codes and panels that the check names when one place of the good plan is changed. */
function said(index: number, change: Partial<RollPlacement>, rules: RollRules = rulesOf()): string[] {
  const placements = GOOD.with(index, { ...GOOD[index]!, ...change });
  return rollPlanCheck(ITEMS, ROLLS, rules, placements).findings.map(({ code, where }) =>
    `${code} ${where.panelId ?? ''}`.trim(),
  );
}

describe('the check of a plan made by hand', () => {
  it('finds nothing wrong with a good plan', () => {
    expect(rollPlanCheck(ITEMS, ROLLS, rulesOf(), GOOD)).toMatchObject({
      findings: [],
      filmUsedMm: 2225 + 1500 + 170,
      rollChanges: 0,
      outOfOrder: 0,
    });
  });

  it.each<[string, number, Partial<RollPlacement>, string[]]>([
    ['the left margin', 0, { xMm: 8.9 }, ['roll-margin lh-1']],
    ['the right margin', 2, { xMm: 159 }, ['roll-margin lh-3']],
    ['the lead-in', 0, { yMm: 209 }, ['roll-lead-in lh-1']],
    ['the tail', 2, { yMm: 7331 }, ['roll-length lh-3']],
    ['another panel', 2, { yMm: 2100 }, ['roll-overlap lh-3']],
    ['the gap across', 1, { xMm: 720 }, ['roll-gap lh-2']],
    ['the gap along', 2, { yMm: 2220 }, ['roll-gap lh-3']],
    ['another roll', 2, { rollId: 'roll-b', yMm: 210 }, ['roll-side-split lh-3']],
    [
      'another direction',
      2,
      { turned: true, xMm: -100 },
      ['roll-panel-turned lh-3', 'roll-margin lh-3', 'roll-margin lh-3', 'roll-side-directions lh-3'],
    ],
    ['no such roll', 2, { rollId: 'roll-c' }, ['roll-place-unknown lh-3', 'roll-panel-without-place lh-3']],
    ['a second place', 2, { panelId: 'lh-1' }, ['roll-place-unknown lh-1', 'roll-panel-without-place lh-3']],
    ['no such panel', 2, { panelId: 'rh-9' }, ['roll-place-unknown rh-9', 'roll-panel-without-place lh-3']],
    ['the print order', 0, { yMm: 4000 }, ['roll-print-order']],
  ])('names a panel moved to %s', (_, index, change, expected) => {
    expect(said(index, change)).toEqual(expected);
  });

  it('two rolls and two directions are fine where they are allowed', () => {
    expect(said(2, { rollId: 'roll-b', yMm: 210 }, rulesOf({ sideOnOneRoll: false }))).toEqual([]);
  });

  const lying = (panelId: string, xMm: number, yMm: number): RollPlacement => ({
    panelId,
    rollId: 'roll-a',
    xMm,
    yMm,
    turned: false,
  });

  it('a panel behind the shorter of two neighbors is cut off across its piece', () => {
    const items = [panelOf(1, 500, 2000), panelOf(2, 500, 900), panelOf(3, 820, 1000)];
    const placements = [lying('lh-1', 9, 210), lying('lh-2', 530, 210), lying('lh-3', 530, 1150)];
    expect(rollPlanCheck(items, ROLLS, rulesOf(), placements).findings).toEqual([]);
  });

  it('names panels that only a stepped cut would part', () => {
    // Five panels around each other: every straight line between two of them runs into a third.
    const items = [
      panelOf(1, 800, 400),
      panelOf(2, 400, 815),
      panelOf(3, 400, 800),
      panelOf(4, 385, 385),
      panelOf(5, 815, 400),
    ];
    const placements = [
      lying('lh-1', 9, 210),
      lying('lh-2', 824, 210),
      lying('lh-3', 9, 630),
      lying('lh-4', 424, 630),
      lying('lh-5', 424, 1040),
    ];
    const { findings } = rollPlanCheck(items, ROLLS, rulesOf(), placements);
    expect(findings.map(({ code, message }) => [code, message])).toEqual([
      ['roll-cut', 'No straight cut from edge to edge parts LH-01, LH-02, LH-03, LH-04 and LH-05 on Roll A.'],
    ]);
  });

  it('names a locked panel that was moved and a panel over the longest print', () => {
    const items = ITEMS.with(0, {
      ...ITEMS[0]!,
      locked: { rollId: 'roll-a', xMm: 9, yMm: 230, turned: false },
    });
    const codes = rollPlanCheck(items, ROLLS, rulesOf({ longestPrintMm: 1900 }), GOOD).findings.map(
      (f) => f.code,
    );
    expect(codes).toEqual(['roll-panel-over-longest-print', 'roll-locked-moved']);
  });

  it('looks at each of sixty panels a few times, so that it can run while one is dragged', () => {
    const plan = (panels: number) => {
      const items = Array.from({ length: panels }, (_, index) =>
        panelOf(index + 1, 300 + ((index * 137) % 900), 500 + ((index * 211) % 1500)),
      );
      const rolls = [rollOf({ usableLengthMm: 300_000 })];
      const { placements } = rollPlan(items, rolls, rulesOf(), {
        nodes: 500,
        nodesPerRoll: 500,
        mostCombinations: 1,
        mostTrials: 1,
        improvementNodes: 500,
      });
      expect(placements).toHaveLength(panels);
      return { items, rolls, placements };
    };
    const reads = (panels: number) =>
      countedReads(plan(panels), ({ items, rolls, placements }) =>
        rollPlanCheck(items, rolls, rulesOf(), placements),
      );
    expect(reads(60)).toBeLessThan(100 * 60);
    expect(reads(120) / reads(60)).toBeLessThan(2.1);
  });
});

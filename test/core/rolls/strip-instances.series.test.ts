import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { NestItem } from '../../../core/nesting/nest-bounds.ts';
import { DEFAULT_PLAN_EFFORT } from '../../../core/rolls/assignment-search.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import { panelsLeftJoined } from '../../support/cut-check.ts';
import { isCutWithoutWaste } from '../../support/flush-joins.ts';
import { perfectStrips } from '../../support/perfect-strips.ts';
import { rollPlanFaults } from '../../support/roll-plan-faults.ts';
import { seriesRuns } from '../../support/series.ts';
import { shelfHeights } from '../../support/shelf-heights.ts';
import {
  guillotineOptima,
  leastGuillotineHeight,
  leastHeightsByTrying,
  rollCaseFromStrip,
  stripInstancesFromFile,
} from '../../support/strip-instances.ts';

/** Short searches: the guarantees hold for any plan. */
const SHORT = {
  nodes: 3000,
  nodesPerRoll: 300,
  mostCombinations: 64,
  mostTrials: 100,
  improvementNodes: 2000,
};

/** A tenth of the usual effort is enough for these. */
const WELL = { ...DEFAULT_PLAN_EFFORT, improvementNodes: DEFAULT_PLAN_EFFORT.improvementNodes / 10 };

describe('the roll planner on published strips', () => {
  it('is never above first fit, whose heights were measured on one instance of each class', () => {
    // Computed once with a separate program on the instances of Hopper and Turton (2001).
    const expected = {
      'C1-P1': 25,
      'C2-P1': 17,
      'C3-P1': 39,
      'C4-P1': 78,
      'C5-P1': 110,
      'C6-P1': 159,
      'C7-P1': 284,
    };
    const instances = stripInstancesFromFile();
    const firstFits = instances.map(({ name, items, stripWidth }) => [
      name,
      shelfHeights(items, stripWidth).firstFit,
    ]);
    expect(Object.fromEntries(firstFits)).toMatchObject(expected);
    for (const { name, items, stripWidth } of instances) {
      expect(soundHeight(items, stripWidth), name).toBeLessThanOrEqual(
        shelfHeights(items, stripWidth).firstFit,
      );
    }
  });

  it('meets every verified optimum of straight cuts, and is near the least height elsewhere', () => {
    const gaps = stripInstancesFromFile()
      .filter(({ items }) => items.length < 75)
      .map((instance) => {
        const least = leastGuillotineHeight(instance);
        const height = soundHeight(instance.items, instance.stripWidth, WELL);
        expect(height, instance.name).toBeGreaterThanOrEqual(least.height);
        if (least.kind === 'optimum') expect(height, instance.name).toBe(least.height);
        return height / least.height - 1;
      });
    expect(gaps).toHaveLength(15);
    expect(gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length).toBeLessThanOrEqual(0.03);
    expect(Math.max(...gaps)).toBeLessThanOrEqual(0.06);
  });
});

describe('the proved optima of straight cuts', () => {
  const instances = stripInstancesFromFile();

  it.each(guillotineOptima())('$name is cut without waste from pieces that fit flush', (optimum) => {
    const instance = instances.find(({ name }) => name === optimum.name)!;
    const { size, leaves } = slicing(optimum.cuts);
    expect(size).toEqual({ width: instance.stripWidth, height: optimum.optimalHeight });
    expect(leaves.map(sizeText).sort()).toEqual(instance.items.map(sizeText).sort());
    const area = instance.items.reduce((sum, { width, height }) => sum + width * height, 0);
    expect(area).toBe(instance.stripWidth * optimum.optimalHeight);
  });

  it('cuts cannot part three instances from film without waste', () => {
    const tried = seriesRuns(2, 3).numRuns;
    // The one with most ways to join takes 20 s, the others less than one.
    const byWork = ['C1-P2', 'C3-P2', 'C2-P2'];
    expect(
      leastHeightsByTrying()
        .map(({ name }) => name)
        .toSorted(),
    ).toEqual(byWork.toSorted());
    for (const { name, leastHeight } of leastHeightsByTrying()) {
      if (byWork.indexOf(name) >= tried) continue;
      const { items, stripWidth, optimalHeight } = instances.find((instance) => instance.name === name)!;
      expect(leastHeight).toBe(optimalHeight + 1);
      expect(isCutWithoutWaste(items, stripWidth, optimalHeight), name).toBe(false);
    }
    const perfect = instances.find(({ name }) => name === 'C1-P3')!;
    expect(isCutWithoutWaste(perfect.items, 20, 20)).toBe(true);
  });

  it('a piece that does not fit flush is noticed', () => {
    expect(slicing('4x2 4x5 H 3x7 V')).toEqual({
      size: { width: 7, height: 7 },
      leaves: [
        { width: 4, height: 2 },
        { width: 4, height: 5 },
        { width: 3, height: 7 },
      ],
    });
    expect(() => slicing('4x2 3x5 H')).toThrow('4 and 3');
    expect(() => slicing('4x2 4x5 V')).toThrow('2 and 5');
    expect(() => slicing('4x2 4x5')).toThrow('2 pieces');
  });
});

describe('the roll planner on strips cut at random', () => {
  // Guarantees: Coffman, Garey, Johnson, Tarjan, SIAM Journal on Computing 9 (1980), from memory.
  it('stays within 1.7 times the optimum plus the tallest item, and under first and next fit', () => {
    fc.assert(
      fc.property(perfectStrips(40), ({ items, stripWidth, optimalHeight }) => {
        const height = soundHeight(items, stripWidth);
        const tallest = Math.max(...items.map((item) => item.height));
        const { firstFit, nextFit } = shelfHeights(items, stripWidth);
        expect(nextFit).toBeLessThanOrEqual(2 * optimalHeight + tallest);
        expect(firstFit).toBeLessThanOrEqual(1.7 * optimalHeight + tallest);
        expect(height).toBeLessThanOrEqual(Math.min(firstFit, nextFit));
        expect(height).toBeGreaterThanOrEqual(optimalHeight);
      }),
    );
  });

  it('takes first fit where best fit is longer', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({ width: fc.integer({ min: 1, max: 31 }), height: fc.integer({ min: 1, max: 37 }) }),
          {
            minLength: 40,
            maxLength: 110,
          },
        ),
        fc.integer({ min: 40, max: 90 }),
        (items, stripWidth) => {
          expect(soundHeight(items, stripWidth)).toBeLessThanOrEqual(
            shelfHeights(items, stripWidth).firstFit,
          );
        },
      ),
      { numRuns: 60 },
    );
  });

  it('gives the same plan for the same panels, in any unit of length', () => {
    fc.assert(
      fc.property(perfectStrips(14), fc.double({ min: 0.13, max: 41.7, noNaN: true }), (strip, unit) => {
        const items = strip.items.map(({ width, height }) => ({
          width: width * unit,
          height: height * unit * 1.1,
        }));
        const height = soundHeight(items, strip.stripWidth * unit);
        expect(height).toBeLessThanOrEqual(shelfHeights(items, strip.stripWidth * unit).firstFit + 1e-6);
        const { items: panels, rolls, rules } = rollCaseFromStrip(items, strip.stripWidth * unit);
        expect(rollPlan(panels, rolls, rules, SHORT)).toEqual(rollPlan(panels, rolls, rules, SHORT));
      }),
    );
  });

  it('no panels need no film', () => {
    const { items, rolls, rules } = rollCaseFromStrip([], 20);
    expect(rollPlan(items, rolls, rules)).toMatchObject({ filmUsedMm: 0, placements: [], isShortest: true });
  });
});

/** The height of the plan, after a look at each place and at each cut. */
function soundHeight(strip: readonly NestItem[], stripWidth: number, effort = SHORT): number {
  const { items, rolls, rules } = rollCaseFromStrip(strip, stripWidth);
  const plan = rollPlan(items, rolls, rules, effort);
  expect(plan.unplacedPanelIds).toEqual([]);
  expect(rollPlanFaults(items, rolls, rules, plan.placements)).toEqual([]);
  expect(panelsLeftJoined(items, plan.placements)).toEqual([]);
  return plan.filmUsedMm;
}

/** Puts the pieces of a Polish expression together; throws where two do not fit flush. */
function slicing(cuts: string): { size: NestItem; leaves: NestItem[] } {
  const stack: NestItem[] = [];
  const leaves: NestItem[] = [];
  for (const word of cuts.split(' ')) {
    const [width, height] = word.split('x').map(Number);
    if (word === 'H' || word === 'V') {
      const second = stack.pop()!;
      stack.push(word === 'H' ? stacked(stack.pop()!, second) : sideBySide(stack.pop()!, second));
    } else {
      stack.push({ width: width!, height: height! });
      leaves.push(stack.at(-1)!);
    }
  }
  if (stack.length !== 1) throw new Error(`The cuts leave ${stack.length} pieces.`);
  return { size: stack[0]!, leaves };
}

function stacked(a: NestItem, b: NestItem): NestItem {
  if (a.width !== b.width) throw new Error(`Pieces ${a.width} and ${b.width} wide are stacked.`);
  return { width: a.width, height: a.height + b.height };
}

function sideBySide(a: NestItem, b: NestItem): NestItem {
  if (a.height !== b.height) throw new Error(`Pieces ${a.height} and ${b.height} high lie side by side.`);
  return { width: a.width + b.width, height: a.height };
}

const sizeText = ({ width, height }: NestItem): string => `${width}x${height}`;

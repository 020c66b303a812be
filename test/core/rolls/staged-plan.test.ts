import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DEFAULT_PLAN_EFFORT } from '../../../core/rolls/assignment-search.ts';
import { fleetPlan } from '../../../core/rolls/fleet-plan.ts';
import { daysOnRolls, daysOutOfOrder, itemDay, stagedPlan } from '../../../core/rolls/staged-plan.ts';
import { DEFAULT_ROLL_RULES, type PackItem, type RollStock } from '../../../core/shop/rolls.ts';

const rules = { ...DEFAULT_ROLL_RULES, gapMm: 20, sideOnOneRoll: false };
const roll = (id: string, usableLengthMm: number, widthMm = 1370): RollStock => ({
  ...{ id, label: id, widthMm, usableLengthMm, leftMarginMm: 10, rightMarginMm: 10 },
  ...{ leadInMm: 200, tailMm: 150 },
});
const item = (name: string, widthMm: number, lengthMm: number, installDay?: number): PackItem => ({
  ...{
    panelId: `job/${name}`,
    sideId: 'job/left',
    label: name,
    widthMm,
    lengthMm,
    mayTurn: true,
    installOrder: 1,
  },
  ...(installDay !== undefined && { installDay }),
});
const plan = (items: readonly PackItem[], rolls: readonly RollStock[]) =>
  stagedPlan(items, rolls, rules, 'together', { effort: DEFAULT_PLAN_EFFORT });

describe('panels of several install days', () => {
  it('STG2 prints day after day, on the roll that was begun where the next day fits', () => {
    const items = [item('A', 1300, 2100, 2), item('B', 1310, 1700), item('C', 1290, 900, 3)];
    const made = plan(items, [roll('r1', 5200), roll('r2', 9000)]);
    // B to 200 + 1,700; A behind a gap to 1,920 + 2,100 = 4,020; C to 4,040 + 900 = 4,940, and the tail to 5,090.
    expect(made.uses.map(({ rollId, usedLengthMm }) => [rollId, usedLengthMm])).toEqual([['r1', 5090]]);
    expect(made.placements.map(({ panelId, yMm }) => [panelId, yMm])).toEqual([
      ['job/B', 200],
      ['job/A', 1920],
      ['job/C', 4040],
    ]);
    // 100 mm less, and the third day goes on the next roll.
    const shorter = plan(items, [roll('r1', 5000), roll('r2', 9000)]);
    expect(shorter.placements.map(({ panelId, rollId }) => `${panelId} ${rollId}`)).toEqual([
      ...['job/B r1', 'job/A r1', 'job/C r2'],
    ]);
    expect(daysOnRolls(shorter, [roll('r1', 5000), roll('r2', 9000)])).toEqual([
      {
        day: 1,
        rollsBegun: 1,
        passedAreaMm2: 1700 * 1370,
        lengthMm: 1700,
        stretches: 1,
        panelIds: ['job/B'],
      },
      {
        day: 2,
        rollsBegun: 1,
        passedAreaMm2: 3820 * 1370,
        lengthMm: 2100,
        stretches: 1,
        panelIds: ['job/A'],
      },
      { day: 3, rollsBegun: 2, passedAreaMm2: 4720 * 1370, lengthMm: 900, stretches: 1, panelIds: ['job/C'] },
    ]);
  });

  it('STG2 loses no panel, lays none on another, and prints none before those of an earlier day', () => {
    const panels = fc.array(
      fc.record({
        width: fc.integer({ min: 200, max: 1340 }),
        length: fc.integer({ min: 150, max: 1900 }),
        day: fc.integer({ min: 1, max: 4 }),
      }),
      { minLength: 2, maxLength: 8 },
    );
    fc.assert(
      fc.property(panels, (sizes) => {
        const items = sizes.map(({ width, length, day }, index) => item(`P${index}`, width, length, day));
        const made = plan(items, [roll('r1', 6100), roll('r2', 7300), roll('r3', 40_000)]);
        expect(made.unplacedPanelIds).toEqual([]);
        expect(made.findings.filter(({ severity }) => severity === 'stop')).toEqual([]);
        expect(daysOutOfOrder(made)).toEqual([]);
        const days = daysOnRolls(made, [roll('r1', 6100), roll('r2', 7300), roll('r3', 40_000)]);
        expect(days.flatMap(({ panelIds }) => panelIds).toSorted()).toEqual(
          items.map(({ panelId }) => panelId).toSorted(),
        );
        expect(days.map(({ day }) => day)).toEqual([...new Set(items.map(itemDay))].toSorted());
      }),
      { numRuns: 40 },
    );
  });

  it('nests a job of one day as it always was', () => {
    const items = [item('A', 1300, 2100), item('B', 610, 1700), item('C', 590, 900)];
    const rolls = [roll('r1', 9000)];
    expect(plan(items, rolls)).toEqual(
      fleetPlan(items, rolls, rules, 'together', { effort: DEFAULT_PLAN_EFFORT }),
    );
  });

  it('STG4 tells a panel that was put before those of an earlier day', () => {
    const place = (yMm: number) => ({ rollId: 'r1', xMm: 10, yMm, turned: false });
    const items = [
      { ...item('A', 1300, 2100, 2), locked: place(200) },
      { ...item('B', 1310, 1700), locked: place(2500) },
    ];
    expect(daysOutOfOrder(plan(items, [roll('r1', 9000)]))).toEqual([{ late: 'A', early: 'B' }]);
  });
});

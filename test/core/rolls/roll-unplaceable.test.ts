import { describe, expect, it } from 'vitest';
import { rollPlanCheck } from '../../../core/rolls/roll-check.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import type { PackItem, RollRules, RollStock } from '../../../core/shop/rolls.ts';
import { breakable } from '../../support/breakable.ts';
import { panelOf, rollOf, rulesOf } from '../../support/roll-plan-cases.ts';

const outcome = (items: PackItem[], rolls: RollStock[], rules: RollRules = rulesOf()) => {
  const plan = rollPlan(items, rolls, rules);
  const stops = plan.findings.filter((finding) => finding.severity === 'stop');
  expect(stops.every((finding) => finding.remedy.length > 20)).toBe(true);
  return { left: plan.unplacedPanelIds, said: stops.map(({ code, message }) => `${code}: ${message}`) };
};

describe('what cannot be laid', () => {
  it('a panel too wide for every roll is named with the width that is printable', () => {
    expect(outcome([panelOf(1, 1500, 2400), panelOf(2, 1200, 2400)], [rollOf()])).toEqual({
      left: ['lh-1'],
      said: [
        'roll-panel-too-wide: LH-01 is 1500 mm × 2400 mm and may not be turned; the widest roll prints 1350 mm.',
      ],
    });
    expect(outcome([panelOf(1, 1500, 1300, { mayTurn: true })], [rollOf()]).left).toEqual([]);
  });

  it('a job in inches is told inches, by the plan and by the check of a plan', () => {
    const rules = rulesOf({ unit: 'in' });
    const wide = outcome([panelOf(1, 1524, 2540)], [rollOf()], rules).said;
    expect(wide.map(breakable)).toEqual([
      'roll-panel-too-wide: LH-01 is 60 in × 100 in and may not be turned; the widest roll prints 53 1/8 in.',
    ]);
    const places = [
      { panelId: 'lh-1', rollId: 'roll-a', xMm: 0, yMm: 0, turned: false },
      { panelId: 'lh-2', rollId: 'roll-a', xMm: 9, yMm: 1275, turned: false },
    ];
    const items = [panelOf(1, 1270, 1270), panelOf(2, 1270, 60_000)];
    const { findings } = rollPlanCheck(items, [rollOf()], rules, places);
    const said = findings.map(({ message }) => message).join(' ');
    expect(said).not.toMatch(/\bmm\b/);
    expect(said).toMatch(/runs 3\/8\u00a0in into the left margin/);
  });

  it('a panel longer than any roll has left', () => {
    const rolls = [rollOf({ usableLengthMm: 2500 }), rollOf({ id: 'roll-b', usableLengthMm: 2900 })];
    expect(outcome([panelOf(1, 1200, 2700)], rolls)).toEqual({
      left: ['lh-1'],
      said: [
        'roll-panel-too-long: LH-01 needs 2700 mm of film in one piece; the fullest roll wide enough has 2520 mm between lead-in and tail.',
      ],
    });
  });

  it('a panel for which the others leave no film; with two rolls allowed it goes on the next', () => {
    const items = [panelOf(1, 1200, 2000), panelOf(2, 1200, 1900)];
    const rolls = [rollOf({ usableLengthMm: 2600 }), rollOf({ id: 'roll-b', usableLengthMm: 2400 })];
    expect(outcome(items, rolls)).toEqual({
      left: ['lh-2'],
      said: ['roll-nothing-left: LH-02 finds no room on the rolls beside or behind the other panels.'],
    });
    expect(outcome(items, rolls, rulesOf({ sideOnOneRoll: false })).left).toEqual([]);
  });

  it('a side whose panels fit only in different directions', () => {
    const items = [panelOf(1, 1200, 2000), panelOf(2, 1250, 2100), panelOf(3, 2600, 1300, { mayTurn: true })];
    expect(outcome(items, [rollOf()])).toEqual({
      left: ['lh-3'],
      said: [
        'roll-side-two-directions: LH-03 fits the rolls only in the other print direction than the rest of its side.',
      ],
    });
    expect(outcome(items, [rollOf()], rulesOf({ sideInOneDirection: false })).left).toEqual([]);
  });

  it('no roll at all is one finding, not one per panel', () => {
    const items = [panelOf(1, 1200, 2000), panelOf(2, 1200, 1900)];
    expect(outcome(items, [])).toEqual({
      left: ['lh-1', 'lh-2'],
      said: ['roll-none: There is no roll to nest the panels on.'],
    });
  });

  it('nothing to lay is an empty plan', () => {
    const plan = rollPlan([], [rollOf()], rulesOf());
    expect(plan).toMatchObject({
      placements: [],
      findings: [],
      filmUsedMm: 0,
      distancePercent: 0,
      isShortest: true,
    });
  });
});

/**
 * Layouts that installers' handbooks teach (common practice, no source). The built-in cost card must produce
 * them by itself, for the plan of lowest cost; where it does not, the card is wrong.
 */
import { describe, expect, it } from 'vitest';
import { limitsBroken } from '../../../core/seams/plan-limits.ts';
import type { PlanSide } from '../../../core/seams/plan-side.ts';
import { type Plan, plansFromSide } from '../../../core/seams/planner.ts';
import { area, bodyLine, planSide, ROLL_54, SHIFT_LAP, treeBrief, treeSeams } from './plan-fixtures.ts';

function cheapestPlan(side: PlanSide): Plan {
  const outcome = plansFromSide(side);
  if (outcome.kind !== 'plans') throw new Error(JSON.stringify(outcome));
  for (const plan of outcome.plans)
      plan.aims.join(','),
      treeBrief(plan.tree),
      plan.figures.money.toFixed(0),
      plan.figures.visibleWorth.toFixed(0),
    );
    'drops',
    treeBrief(outcome.drops!.tree),
    outcome.drops!.figures.money,
    outcome.drops!.figures.visibleWorth,
    outcome.drops!.isDominated,
  );
  const plan = outcome.plans.find(({ id }) => id === 'lowest-cost')!;
  expect(limitsBroken(side, plan.stock, plan.tree)).toEqual([]);
  return plan;
}

describe('handbook cases', () => {
  it('SP1 a van flank with a belt line and a sill line plans horizontal panels with seams on both', () => {
    const side = planSide({
      width: 6000,
      height: 2600,
      rolls: [ROLL_54],
      lines: [
        bodyLine({ kind: 'crease', axis: 'horizontal', at: 1152, to: 6000 }),
        bodyLine({ kind: 'moulding', axis: 'horizontal', at: 2243, to: 6000 }),
      ],
    });
    expect(treeBrief(cheapestPlan(side).tree)).toBe('h 1152 2243');
  });

  it('SP2 a door beside a fender with a panel gap plans vertical beside horizontal', () => {
    const side = planSide({
      width: 4300,
      height: 2050,
      lines: [
        bodyLine({ kind: 'panel-gap', axis: 'vertical', at: 1270, to: 2050 }),
        bodyLine({ kind: 'crease', axis: 'horizontal', at: 985, from: 1270, to: 4300 }),
      ],
    });
    expect(treeBrief(cheapestPlan(side).tree)).toBe('v 1270 [□ h 985]');
  });

  it('SP3 a trailer with rivet rows every 1,220 mm plans one panel per bay with shift laps', () => {
    const bays = [1220, 2440, 3660, 4880];
    const side = planSide({
      width: 6100,
      height: 2100,
      laps: [SHIFT_LAP],
      lines: bays.map((at) => bodyLine({ kind: 'rivet-row', axis: 'vertical', at, to: 2100 })),
    });
    const plan = cheapestPlan(side);
    expect(treeBrief(plan.tree)).toBe('v 1220 2440 3660 4880');
    expect(treeSeams(side, plan.tree).map(({ joint }) => joint.first + joint.second)).toEqual([
      90, 90, 90, 90,
    ]);
  });
  it('SP3 long', () => {
    const bays = Array.from({ length: 13 }, (_, i) => 1220 * (i + 1));
    const side = planSide({
      width: 16154.4,
      height: 2700,
      laps: [SHIFT_LAP],
      rolls: [ROLL_54],
      lines: bays.map((at) => bodyLine({ kind: 'rivet-row', axis: 'vertical', at, to: 2700 })),
    });
    const plan = cheapestPlan(side);
    expect(treeBrief(plan.tree)).toBe(`v ${bays.join(' ')}`);
  });

  it('SP4 lettering wider than a roll plans a horizontal panel that holds it', () => {
    const title = area('title', 1310, 620, 4470, 480);
    const side = planSide({ width: 7200, height: 2300, keepClear: [title] });
    const plan = cheapestPlan(side);
  });
});

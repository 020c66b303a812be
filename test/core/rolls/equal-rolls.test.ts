import { describe, expect, it } from 'vitest';
import { loadsOnFirstRolls } from '../../../core/rolls/equal-rolls.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import type { PlanRoll } from '../../../core/rolls/roll-problem.ts';
import { panelOf, rollOf, rulesOf } from '../../support/roll-plan-cases.ts';

const planRoll = (stock: Parameters<typeof rollOf>[0], locked: PlanRoll['locked'] = []): PlanRoll => ({
  stock: rollOf(stock),
  locked,
  lockedUse: 0,
  stretches: [],
});

describe('rolls that are alike', () => {
  it('take loads from the first on; others, and those with locked panels, keep theirs', () => {
    const lockedPanel = { item: panelOf(1, 700, 900) } as PlanRoll['locked'][number];
    const rolls = [
      planRoll({ id: 'a', label: 'First' }),
      planRoll({ id: 'b', usableLengthMm: 9000 }),
      planRoll({ id: 'c' }, [lockedPanel]),
      planRoll({ id: 'd' }),
      planRoll({ id: 'e' }),
    ];
    expect(loadsOnFirstRolls(rolls, (load) => load !== 0)).toEqual([4, 1, 2, 0, 3]);
    expect(loadsOnFirstRolls(rolls, () => false)).toEqual([0, 1, 2, 3, 4]);
  });

  it('are used from the first on by a plan, around a roll with a locked panel', () => {
    const rolls = ['r1', 'r2', 'r3', 'r4', 'r5'].map((id) => rollOf({ id, label: id, usableLengthMm: 5000 }));
    const items = Array.from({ length: 5 }, (_, index) =>
      panelOf(index + 1, 1290 - index, 2190, { sideId: `side-${index}` }),
    );
    const locked = { rollId: 'r2', xMm: 9, yMm: 210, turned: false };
    const plan = rollPlan([{ ...items[0]!, locked }, ...items.slice(1)], rolls, rulesOf());
    expect(plan.unplacedPanelIds).toEqual([]);
    expect(plan.uses.map(({ rollId }) => rollId)).toEqual(['r1', 'r2', 'r3']);
  });
});

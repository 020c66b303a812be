import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import type { PackItem, RollPlacement, RollRules, RollStock } from '../shop/rolls.ts';
import { rollBound } from './roll-bound.ts';
import { rollPlanCheck } from './roll-check.ts';
import type { RollPlan } from './roll-plan.ts';
import { printOrderOf } from './roll-use.ts';

/** A plan whose panels have their places already, kept or laid by hand: checked and measured, nothing is moved. */
export function rollPlanFromPlaces(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
  places: readonly RollPlacement[],
): RollPlan {
  const check = rollPlanCheck(items, rolls, rules, places);
  const placements = printOrderOf(check.uses).map(({ place }) => place);
  const placed = new Set(placements.map(({ panelId }) => panelId));
  const unplaced = items.filter(({ panelId }) => !placed.has(panelId));
  const bound = rollBound(
    items.filter(({ panelId }) => placed.has(panelId)),
    rolls,
    rules,
  );
  const above = check.filmAreaMm2 - bound.areaMm2;
  return {
    ...check,
    placements,
    unplacedPanelIds: unplaced.map(({ panelId }) => panelId),
    bound,
    // Panels that lie closer than the rules allow may need less film than the bound.
    distancePercent: bound.areaMm2 > 0 ? Math.max(0, (100 * above) / bound.areaMm2) : 0,
    isShortest: unplaced.length === 0 && above <= LENGTH_TOLERANCE_MM,
  };
}

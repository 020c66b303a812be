/**
 * Panels of vehicles that are alike, nested together or vehicle by vehicle. A set is all that one vehicle needs: sets are
 * equal, so one of them is nested and laid again and again, and a nesting of all of them counts only where it takes less.
 *
 *     roll 1  ├ set of 12 ┤├ set of 14 ┤     the third set is too long for what is left
 *     roll 2  ├ set of 15 ┤
 */

import { firstOf, itemAt, lastOf, present, valueAt } from '../measure/present.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { PackItem, RollPlacement, RollRules, RollStock } from '../shop/rolls.ts';
import { DEFAULT_PLAN_EFFORT, type PlanEffort, type SearchLook } from './assignment-search.ts';
import { rollPlanFromPlaces } from './placed-plan.ts';
import { type RollPlan, rollPlan } from './roll-plan.ts';

/** All panels as they nest best, or the panels of one vehicle after those of another. */
export type FleetOrder = 'together' | 'set-by-set';

/** More panels are not nested at once: a search would take minutes. */
const MOST_AT_ONCE = 210;
const SPARE_ROLLS = 2;

/** How long a plan is looked for, and who hears how far that is. */
export interface PlanSearch {
  readonly effort?: PlanEffort;
  readonly look?: SearchLook | undefined;
}

/** Keeps FLT1. */
export function fleetPlan(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
  order: FleetOrder,
  { effort = DEFAULT_PLAN_EFFORT, look }: PlanSearch = {},
): RollPlan {
  const sets = [...Map.groupBy(items, ({ unit }) => unit).values()];
  const isLocked = items.some(({ locked }) => locked !== undefined);
  if (sets.length < 2 || isLocked) return rollPlan(items, rolls, rules, effort, look);
  const half = (from: number): SearchLook | undefined => look && ((share) => look(from + share / 2));
  const inTurn = setsInTurn(sets, rolls, rules, { effort, look: half(0) });
  if (order === 'set-by-set' && inTurn) return inTurn;
  if (inTurn?.isShortest) return inTurn;
  // Fewer rolls leave fewer ways to try, and sets in turn show how many are enough.
  const perSet = Math.max(...sets.map((set) => set.length));
  const most = Math.max(1, Math.floor(MOST_AT_ONCE / perSet));
  const share = Math.min(1, most / sets.length);
  const enough = inTurn ? rolls.slice(0, Math.ceil(inTurn.uses.length * share) + SPARE_ROLLS) : rolls;
  const together =
    most >= sets.length || !inTurn
      ? rollPlan(items, enough, rules, effort, half(0.5))
      : setsInTurn(chunked(sets, most), rolls, rules, { effort, look: half(0.5) }, enough);
  return inTurn && (!together || isLess(inTurn, together))
    ? inTurn
    : present(together, 'A plan of all sets together');
}

const isLess = (a: RollPlan, b: RollPlan): boolean =>
  a.unplacedPanelIds.length < b.unplacedPanelIds.length ||
  (a.unplacedPanelIds.length === b.unplacedPanelIds.length && a.filmAreaMm2 < b.filmAreaMm2);

const chunked = (sets: readonly (readonly PackItem[])[], size: number): PackItem[][] =>
  Array.from({ length: Math.ceil(sets.length / size) }, (_, index) =>
    sets.slice(index * size, (index + 1) * size).flat(),
  );

/** Undefined where rolls differ or a set does not fit on them: then all have to be nested around each other. Keeps FLT3. */
function setsInTurn(
  sets: readonly (readonly PackItem[])[],
  rolls: readonly RollStock[],
  rules: RollRules,
  { effort = DEFAULT_PLAN_EFFORT, look }: PlanSearch,
  ofOneSet: readonly RollStock[] = rolls,
): RollPlan | undefined {
  const [model] = rolls;
  if (!model || !rolls.every((roll) => isLike(roll, model))) return undefined;
  const nested = new Map<string, { readonly of: readonly PackItem[]; readonly plan: RollPlan }>();
  const places: RollPlacement[] = [];
  let at = { roll: 0, endMm: 0 };
  for (const [index, set] of sets.entries()) {
    const key = JSON.stringify(set.map(sizeText));
    const { of, plan } = nested.get(key) ?? {
      of: set,
      plan: rollPlan(set, ofOneSet, rules, effort, look && ((share) => look((index + share) / sets.length))),
    };
    nested.set(key, { of, plan });
    if (plan.unplacedPanelIds.length > 0) return undefined;
    const itemOf = new Map(of.map(({ panelId }, place) => [panelId, itemAt(set, place)]));
    for (const use of plan.uses) {
      const startMm = firstOf(use.bands).startMm;
      const lengthMm = lastOf(use.bands).endMm - startMm;
      const begin = begun(at, lengthMm, rolls, rules.gapMm);
      if (!begin) return undefined;
      const roll = itemAt(rolls, begin.roll);
      for (const { item, place } of use.bands.flatMap(({ panels }) => panels)) {
        places.push({
          ...place,
          panelId: valueAt(itemOf, item.panelId).panelId,
          rollId: roll.id,
          yMm: place.yMm - startMm + begin.startMm,
        });
      }
      at = { roll: begin.roll, endMm: begin.startMm + lengthMm };
    }
  }
  return rollPlanFromPlaces(sets.flat(), rolls, rules, places);
}

/** What decides how a set is nested, beside the sides that its panels are of. */
const sizeText = ({ widthMm, lengthMm, mayTurn, installOrder }: PackItem) => [
  widthMm,
  lengthMm,
  mayTurn,
  installOrder,
];

/** Across, all rolls print alike. */
const isLike = (a: RollStock, b: RollStock): boolean =>
  a.widthMm === b.widthMm && a.leftMarginMm === b.leftMarginMm && a.rightMarginMm === b.rightMarginMm;

/** Where a stretch of panels begins: behind the last one, or on the next roll that is long enough. */
function begun(
  { roll, endMm }: { readonly roll: number; readonly endMm: Mm },
  lengthMm: Mm,
  rolls: readonly RollStock[],
  gapMm: Mm,
): { readonly roll: number; readonly startMm: Mm } | undefined {
  const goesOn = (index: number, startMm: Mm) => {
    const { usableLengthMm, tailMm } = itemAt(rolls, index);
    return startMm + lengthMm + tailMm <= usableLengthMm + LENGTH_TOLERANCE_MM;
  };
  if (endMm > 0 && goesOn(roll, endMm + gapMm)) return { roll, startMm: endMm + gapMm };
  for (let index = endMm > 0 ? roll + 1 : roll; index < rolls.length; index++) {
    const { leadInMm } = itemAt(rolls, index);
    if (goesOn(index, leadInMm)) return { roll: index, startMm: leadInMm };
  }
  return undefined;
}

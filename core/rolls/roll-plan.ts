/**
 * Panels on rolls: which roll, which way, in which order.
 *
 * ```ts
 * import { DEFAULT_ROLL_RULES } from '../shop/rolls.ts';
 *
 * const margins = { leftMarginMm: 10, rightMarginMm: 10, leadInMm: 0, tailMm: 0 };
 * const roll = { id: 'r1', label: '54 in', widthMm: 1371.6, usableLengthMm: 45000, ...margins };
 * const side = { sideId: 's1', widthMm: 1200, mayTurn: false };
 * const panels = [
 *   { panelId: 'A', label: 'LH-01', lengthMm: 2100, installOrder: 1, ...side },
 *   { panelId: 'B', label: 'LH-02', lengthMm: 900, installOrder: 2, ...side },
 * ];
 * const plan = rollPlan(panels, [roll], DEFAULT_ROLL_RULES);
 * plan.uses[0].usedLengthMm; // → 3015
 * plan.isShortest; // → true
 * ```
 */
import { z } from 'zod';
import type { Finding } from '../findings/finding.ts';
import { forgetOldest } from '../measure/oldest.ts';
import { itemAt } from '../measure/present.ts';
import { listSchema } from '../measure/schemas.ts';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import { type PackItem, RollPlacement, type RollRules, type RollStock } from '../shop/rolls.ts';
import {
  assignmentSearched,
  DEFAULT_PLAN_EFFORT,
  type PlanEffort,
  type SearchLook,
} from './assignment-search.ts';
import { type Band, cutPlaces, cutSize } from './band.ts';
import { bandsInPrintOrder } from './band-order.ts';
import { loadsOnFirstRolls } from './equal-rolls.ts';
import { problemAroundLocked } from './locked-bands.ts';
import type { Assignment } from './roll-assignment.ts';
import { RollBound, rollBound } from './roll-bound.ts';
import { isSamePlace, RollPlanCheck, rollPlanCheck } from './roll-check.ts';
import {
  lockedRollMissing,
  noRolls,
  panelNothingLeft,
  panelOverLongestPrint,
  panelTooLong,
  panelTooWide,
  sideNeedsTwoDirections,
} from './roll-findings.ts';
import { rollPrintLength, rollPrintWidth, sentLength, sizeOnRoll } from './roll-lengths.ts';
import { directionsOf, fitsAcross, fitsPrint, fitsRoll, type RollProblem } from './roll-problem.ts';
import type { RollStretch } from './roll-stretch.ts';
import { printOrderOf } from './roll-use.ts';

export const RollPlan = z.strictObject({
  ...RollPlanCheck.shape,
  /** In print order. */
  placements: listSchema(RollPlacement),
  unplacedPanelIds: listSchema(z.string()),
  /** For the panels that were placed: no plan that keeps the rules uses less film than this. */
  bound: RollBound,
  /** Film area used above the bound, in percent of it; 0 where the plan is proved the shortest. */
  distancePercent: z.number(),
  isShortest: z.boolean(),
});
export type RollPlan = z.infer<typeof RollPlan>;

/**
 * Lays panels on rolls: least film first, then fewest rolls, then the print order nearest to the install
 * order. Cuts go straight from edge to edge, across the roll first. Locked panels stay where they are. What cannot be
 * laid is left out and named in a finding. The same input always gives the same plan.
 * Keeps RL7.
 */
export function rollPlan(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
  effort: PlanEffort = DEFAULT_PLAN_EFFORT,
  look?: SearchLook,
): RollPlan {
  const asked = JSON.stringify([items, rolls, rules, effort]);
  const known = knownRollPlans.get(asked);
  if (known) return known;
  const plan =
    planAsLocked(items, rolls, rules, effort, look) ?? planAround(items, rolls, rules, effort, look);
  while (knownRollPlans.size >= MOST_KNOWN) forgetOldest(knownRollPlans);
  knownRollPlans.set(asked, plan);
  return plan;
}

/**
 * Plans by what was asked: sheets, strips and findings of one output ask for the same plan, one after the other. A shell
 * may add those of an earlier start.
 */
export const knownRollPlans = new Map<string, RollPlan>();
const MOST_KNOWN = 24;

/** The plan as though nothing were locked, where that puts all locked panels where they are. */
function planAsLocked(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
  effort: PlanEffort,
  look?: SearchLook,
): RollPlan | undefined {
  const places = items.flatMap(({ panelId, locked }) => (locked ? [{ panelId, ...locked }] : []));
  if (places.length === 0) return undefined;
  const plan = planAround(items.map(withoutLock), rolls, rules, effort, look && ((share) => look(share / 2)));
  const isThere = (place: RollPlacement) =>
    plan.placements.some((other) => other.panelId === place.panelId && isSamePlace(place, other));
  if (!places.every(isThere)) return undefined;
  const placed = items.filter(({ panelId }) => !plan.unplacedPanelIds.includes(panelId));
  return { ...plan, uses: rollPlanCheck(placed, rolls, rules, plan.placements).uses };
}

function planAround(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
  effort: PlanEffort,
  look?: SearchLook,
): RollPlan {
  const findings: Finding[] = [];
  const locked = items.filter((item) => item.locked && rolls.some((roll) => roll.id === item.locked?.rollId));
  const loose = items.filter((item) => !locked.includes(item));
  if (rolls.length === 0 && items.length > 0) findings.push(noRolls());
  else findings.push(...loose.filter((item) => item.locked).map(lockedRollMissing));
  const free: PackItem[] = [];
  const unplaced: PackItem[] = [];
  for (const item of loose) {
    const reason = reasonUnplaceable(item, rolls, rules);
    if (rolls.length > 0 && reason) findings.push(reason);
    if (reason) unplaced.push(item);
    else free.push(withoutLock(item));
  }

  const problem = problemAroundLocked(free, locked, rolls, rules);
  const searched = assignmentSearched(problem, effort, look);
  const best = searched.best
    .map((assignment) => planned(assignment, problem, [...free, ...locked]))
    .reduce((a, b) => (b.check.outOfOrder < a.check.outOfOrder ? b : a));
  for (const index of best.assignment.loads.flatMap((load) => load.left)) {
    findings.push(reasonLeft(index, best.assignment, problem));
    unplaced.push(itemAt(free, index));
  }

  const placed = [...free, ...locked].filter((item) => !unplaced.includes(item));
  const { filmUsedMm, filmAreaMm2, uses } = best.check;
  const provable = rollBound(placed, rolls, rules);
  // Around locked panels not every plan is tried, so only the bound can prove one.
  const isProved = searched.isShortest && locked.length === 0;
  const isShortest =
    unplaced.length === 0 && (isProved || filmAreaMm2 <= provable.areaMm2 + LENGTH_TOLERANCE_MM);
  const bound = isShortest ? { lengthMm: filmUsedMm, areaMm2: filmAreaMm2 } : provable;
  return {
    ...best.check,
    findings: [...findings, ...best.check.findings],
    placements: printOrderOf(uses).map((panel) => panel.place),
    unplacedPanelIds: unplaced.map((item) => item.panelId),
    bound,
    // Panels locked closer than the rules allow may need less film than the bound, which assumes the rules.
    distancePercent: bound.areaMm2 > 0 ? Math.max(0, 100 * (filmAreaMm2 / bound.areaMm2 - 1)) : 0,
    isShortest,
  };
}

/** Why no roll takes the panel even when it is empty; undefined where one does. */
function reasonUnplaceable(
  item: PackItem,
  rolls: readonly RollStock[],
  rules: RollRules,
): Finding | undefined {
  const ways = rolls.flatMap((roll) => directionsOf(item).map((turned) => ({ roll, turned })));
  const wideEnough = ways.filter(({ roll, turned }) => fitsAcross(sizeOnRoll(item, turned), roll));
  if (wideEnough.length === 0) return panelTooWide(item, Math.max(0, ...rolls.map(rollPrintWidth)), rules);
  const along = Math.min(...wideEnough.map(({ turned }) => sizeOnRoll(item, turned).along));
  if (!wideEnough.some(({ turned }) => fitsPrint(sizeOnRoll(item, turned), rules))) {
    return panelOverLongestPrint(item, sentLength(along, rules), rules);
  }
  if (wideEnough.some(({ roll, turned }) => fitsRoll(item, turned, roll, rules))) return undefined;
  return panelTooLong(item, along, Math.max(...wideEnough.map(({ roll }) => rollPrintLength(roll))), rules);
}

/** Why the search left a panel out that would fit an empty roll. */
function reasonLeft(index: number, assignment: Assignment, problem: RollProblem): Finding {
  const { items, rolls, rules } = problem;
  const item = itemAt(items, index);
  const turned = isTurned(index, assignment, problem);
  const fitsThisWay =
    directionsOf(item).includes(turned) && rolls.some(({ stock }) => fitsRoll(item, turned, stock, rules));
  return fitsThisWay ? panelNothingLeft(item, rules.sideOnOneRoll) : sideNeedsTwoDirections(item);
}

function isTurned(index: number, assignment: Assignment, { decisions }: RollProblem): boolean {
  const decision = decisions.findIndex(({ kind, items }) => kind === 'turned' && items.includes(index));
  return assignment.choices[decision] === 1;
}

interface Planned {
  readonly assignment: Assignment;
  readonly check: RollPlanCheck;
}

/** Turns an assignment into places on film, in the print order that suits the installers, and looks at the result. */
function planned(assignment: Assignment, problem: RollProblem, items: readonly PackItem[]): Planned {
  const { rolls, rules } = problem;
  const placements: RollPlacement[] = rolls.flatMap(({ locked }) => locked.map((panel) => panel.place));
  const onto = loadsOnFirstRolls(rolls, (load) => itemAt(assignment.loads, load).bands.length > 0);
  assignment.loads.forEach((load, index) => {
    const { stock, stretches } = itemAt(rolls, itemAt(onto, index));
    const bands = bandsInPrintOrder(load.bands, stretches, rules.gapMm, problem.items, rules.printOrder);
    placements.push(...bandPlacements(bands, stretches, stock.id, assignment, problem));
  });
  const left = new Set(
    assignment.loads.flatMap((load) => load.left).map((index) => itemAt(problem.items, index)),
  );
  const check = rollPlanCheck(
    items.filter((item) => !left.has(item)),
    rolls.map(({ stock }) => stock),
    rules,
    placements,
  );
  return { assignment, check };
}

function bandPlacements(
  bands: readonly Band[],
  stretches: readonly RollStretch[],
  rollId: string,
  assignment: Assignment,
  problem: RollProblem,
): RollPlacement[] {
  const { gapMm } = problem.rules;
  const nextStart = stretches.map((stretch) => stretch.start);
  return bands.flatMap(({ cut, stretch }) => {
    const start = itemAt(nextStart, stretch);
    nextStart[stretch] = start + cutSize(cut, gapMm).along + gapMm;
    return cutPlaces(cut, itemAt(stretches, stretch).x, start, gapMm).map(({ item: { key }, xMm, yMm }) => {
      const turned = isTurned(key, assignment, problem);
      return { panelId: itemAt(problem.items, key).panelId, rollId, xMm, yMm, turned };
    });
  });
}

function withoutLock(item: PackItem): PackItem {
  const { locked: _, ...rest } = item;
  return rest;
}

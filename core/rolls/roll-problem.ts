import { firstOf, itemAt, present } from '../measure/present.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { PackItem, RollRules, RollStock } from '../shop/rolls.ts';
import { rollPrintLength, rollPrintWidth, type SizeOnRoll, sentLength, sizeOnRoll } from './roll-lengths.ts';
import { type BandEnds, lockedUse, type RollStretch, rollStretches } from './roll-stretch.ts';
import { type PlacedPanel, placedPanel } from './roll-use.ts';

/** A roll with what is locked on it and what is free around that. */
export interface PlanRoll {
  readonly stock: RollStock;
  readonly locked: readonly PlacedPanel[];
  readonly lockedUse: Mm;
  readonly stretches: readonly RollStretch[];
}

/** One thing to decide: which roll some panels go on, or which way they print. Panels by index into `items`. */
export interface Decision {
  readonly kind: 'roll' | 'turned';
  readonly items: readonly number[];
  /** Roll indices, or 0 for straight and 1 for turned. Never empty. */
  readonly options: readonly number[];
}

/** The question that the search answers: panels that fit somewhere, rolls, and what is free to be decided. */
export interface RollProblem {
  readonly items: readonly PackItem[];
  readonly rolls: readonly PlanRoll[];
  readonly rules: RollRules;
  readonly decisions: readonly Decision[];
}

export const directionsOf = (item: PackItem): readonly boolean[] => (item.mayTurn ? [false, true] : [false]);

export const fitsAcross = (size: SizeOnRoll, roll: RollStock): boolean =>
  size.across <= rollPrintWidth(roll) + LENGTH_TOLERANCE_MM;

export const fitsAlong = (size: SizeOnRoll, roll: RollStock): boolean =>
  size.along <= rollPrintLength(roll) + LENGTH_TOLERANCE_MM;

export const fitsPrint = (size: SizeOnRoll, rules: RollRules): boolean =>
  sentLength(size.along, rules) <= rules.longestPrintMm + LENGTH_TOLERANCE_MM;

/** Whether an otherwise empty roll takes the panel in this direction. */
export function fitsRoll(item: PackItem, turned: boolean, roll: RollStock, rules: RollRules): boolean {
  const size = sizeOnRoll(item, turned);
  return fitsAcross(size, roll) && fitsAlong(size, roll) && fitsPrint(size, rules);
}

/**
 * `free` are the panels to lay; each fits at least one roll in one direction. `locked` stay where they are;
 * `ends` makes their bands longer, roll by roll.
 */
export function rollProblem(
  free: readonly PackItem[],
  locked: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
  ends: ReadonlyMap<string, BandEnds> = new Map(),
): RollProblem {
  const planRolls = rolls.map((stock): PlanRoll => {
    const panels = locked
      .filter((item) => present(item.locked, 'Where a panel is locked').rollId === stock.id)
      .map((item) =>
        placedPanel(item, { panelId: item.panelId, ...present(item.locked, 'Where a panel is locked') }),
      );
    return {
      stock,
      locked: panels,
      lockedUse: lockedUse(stock, panels),
      stretches: rollStretches(stock, panels, rules.gapMm, ends.get(stock.id)),
    };
  });
  const decisions = [
    ...decisionGroups(free, rules.sideOnOneRoll).map((items) =>
      rollDecision(items, free, locked, rolls, rules),
    ),
    ...decisionGroups(free, rules.sideInOneDirection).map((items) =>
      directionDecision(items, free, locked, rolls, rules),
    ),
  ];
  return { items: free, rolls: planRolls, rules, decisions };
}

function decisionGroups(items: readonly PackItem[], bySide: boolean): number[][] {
  if (!bySide) return items.map((_, index) => [index]);
  return [...Map.groupBy(items.keys(), (index) => itemAt(items, index).sideId).values()];
}

function rollDecision(
  group: readonly number[],
  free: readonly PackItem[],
  locked: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
): Decision {
  const mate = lockedMate(group, free, locked);
  if (mate && rules.sideOnOneRoll) {
    return {
      kind: 'roll',
      items: group,
      options: [
        rolls.findIndex((roll) => roll.id === present(mate.locked, 'Where a panel is locked').rollId),
      ],
    };
  }
  const takesAll = [...rolls.keys()].filter((roll) =>
    group.every((index) =>
      directionsOf(itemAt(free, index)).some((turned) =>
        fitsRoll(itemAt(free, index), turned, itemAt(rolls, roll), rules),
      ),
    ),
  );
  // Where no roll takes every panel of a side, the search finds out which takes the most of it.
  return { kind: 'roll', items: group, options: takesAll.length > 0 ? takesAll : [...rolls.keys()] };
}

/** Keeps RL6. */
function directionDecision(
  group: readonly number[],
  free: readonly PackItem[],
  locked: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
): Decision {
  const mate = lockedMate(group, free, locked);
  if (mate && rules.sideInOneDirection) {
    return {
      kind: 'turned',
      items: group,
      options: [present(mate.locked, 'Where a panel is locked').turned ? 1 : 0],
    };
  }
  const isPossible = (index: number, turned: boolean): boolean =>
    directionsOf(itemAt(free, index)).includes(turned) &&
    rolls.some((roll) => fitsRoll(itemAt(free, index), turned, roll, rules));
  const suitsAll = [false, true].filter((turned) => group.every((index) => isPossible(index, turned)));
  const options = suitsAll.length > 0 ? suitsAll : [false, true];
  return { kind: 'turned', items: group, options: options.map(Number) };
}

const lockedMate = (
  group: readonly number[],
  free: readonly PackItem[],
  locked: readonly PackItem[],
): PackItem | undefined => locked.find((item) => item.sideId === itemAt(free, firstOf(group)).sideId);

/**
 * Panels of several install days, nested day after day on the same rolls: the first day prints first, the next goes on
 * behind it.
 *
 *     roll 1  ├──── day 1 ────┤├── day 2 ──┤
 *     roll 2  ├─ day 2 ─┤├─── day 3 ───┤
 */

import { firstOf, foundIn, itemAt, lastOf, present, valueAt } from '../measure/present.ts';
import type { PackItem, RollPlacement, RollRules, RollStock } from '../shop/rolls.ts';
import { DEFAULT_PLAN_EFFORT } from './assignment-search.ts';
import { type FleetOrder, fleetPlan, type PlanSearch } from './fleet-plan.ts';
import { rollPlanFromPlaces } from './placed-plan.ts';
import type { RollPlan } from './roll-plan.ts';
import { directionsOf, fitsRoll } from './roll-problem.ts';

export const itemDay = ({ installDay = 1 }: Pick<PackItem, 'installDay'>): number => installDay;

/** Panels that are locked lie where somebody has put them, whatever their day: then all are nested at once. Keeps STG2. */
export function stagedPlan(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
  order: FleetOrder,
  { effort = DEFAULT_PLAN_EFFORT, look }: PlanSearch,
): RollPlan {
  const days = [...new Set(items.map(itemDay))].toSorted((a, b) => a - b);
  if (days.length < 2 || items.some(({ locked }) => locked !== undefined))
    return fleetPlan(items, rolls, rules, order, { effort, look });
  const places: RollPlacement[] = [];
  const ways = rules.sideInOneDirection ? onlyWays(items, rolls, rules) : new Map<string, boolean>();
  let begun: RollStock | undefined;
  let unused = rolls;
  for (const [index, day] of days.entries()) {
    const looked = look && ((share: number) => look((index + share) / days.length));
    const nest = (some: readonly PackItem[], on: readonly RollStock[]): Nested =>
      some.length === 0 || on.length === 0
        ? { places: [], left: some.length }
        : nestedOneWay(some, ways, (turned) => fleetPlan(turned, on, rules, order, { effort, look: looked }));
    const ofDay = items.filter((item) => itemDay(item) === day);
    const isBegun = ({ sideId }: PackItem) =>
      places.some(
        ({ panelId, rollId }) =>
          rollId === begun?.id && foundIn(items, (item) => item.panelId === panelId).sideId === sideId,
      );
    const onBegun = begun ? [begun] : [];
    // What is left of the roll in the printer counts less than a roll that is changed, and a side stays on its roll.
    const choices = [
      () => nest(ofDay, onBegun),
      () =>
        both(
          nest(ofDay.filter(isBegun), onBegun),
          nest(
            ofDay.filter((item) => !isBegun(item)),
            unused,
          ),
        ),
      () => nest(ofDay, unused),
      () => nest(ofDay, [...onBegun, ...unused]),
    ];
    let best: Nested = { places: [], left: Number.POSITIVE_INFINITY };
    for (const choice of choices) {
      const nested = choice();
      if (nested.left < best.left) best = nested;
      if (best.left === 0) break;
    }
    places.push(...best.places);
    if (rules.sideInOneDirection)
      for (const { panelId, turned } of best.places)
        ways.set(foundIn(items, (item) => item.panelId === panelId).sideId, turned);
    const { uses } = rollPlanFromPlaces(items, rolls, rules, places);
    const last = uses.at(-1);
    if (!last) continue;
    const used = new Set(uses.map(({ rollId }) => rollId));
    unused = unused.filter(({ id }) => !used.has(id));
    const roll = foundIn(rolls, ({ id }) => id === last.rollId);
    begun = { ...roll, leadInMm: lastOf(last.bands).endMm + rules.gapMm };
  }
  return rollPlanFromPlaces(items, rolls, rules, places);
}

interface Nested {
  readonly places: readonly RollPlacement[];
  /** How many found no place. */
  readonly left: number;
}

const both = (a: Nested, b: Nested): Nested => ({
  places: [...a.places, ...b.places],
  left: a.left + b.left,
});

/** Whether a side must print turned or must not, where all its panels fit one way only. */
function onlyWays(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
): Map<string, boolean> {
  const ways = new Map<string, boolean>();
  for (const [sideId, side] of Map.groupBy(items, (item) => item.sideId)) {
    const [only, other] = [false, true].filter((turned) =>
      side.every(
        (item) =>
          directionsOf(item).includes(turned) && rolls.some((roll) => fitsRoll(item, turned, roll, rules)),
      ),
    );
    if (only !== undefined && other === undefined) ways.set(sideId, only);
  }
  return ways;
}

/** Panels of a side whose way is known are nested that way alone: one that is to be turned is handed over lying down. */
function nestedOneWay(
  items: readonly PackItem[],
  ways: ReadonlyMap<string, boolean>,
  nest: (items: readonly PackItem[]) => RollPlan,
): Nested {
  const lying = new Set<string>();
  const given = items.map((item): PackItem => {
    const turned = ways.get(item.sideId);
    if (turned === undefined) return item;
    if (!turned) return { ...item, mayTurn: false };
    lying.add(item.panelId);
    return { ...item, widthMm: item.lengthMm, lengthMm: item.widthMm, mayTurn: false };
  });
  const plan = nest(given);
  return {
    places: plan.placements.map((place) => (lying.has(place.panelId) ? { ...place, turned: true } : place)),
    left: plan.unplacedPanelIds.length,
  };
}

/** Panels of a later day that are printed before the last of an earlier one, each with one that it prints before. */
export function daysOutOfOrder(
  plan: Pick<RollPlan, 'uses'>,
): { readonly late: string; readonly early: string }[] {
  const printed = plan.uses.flatMap(({ bands }) => bands).map(({ panels }) => panels.map(({ item }) => item));
  return printed.flatMap((band, index) => {
    const [after] = printed
      .slice(index + 1)
      .flat()
      .toSorted((a, b) => itemDay(a) - itemDay(b));
    const [late] = after ? band.filter((item) => itemDay(item) > itemDay(after)) : [];
    return after && late ? [{ late: late.label, early: after.label }] : [];
  });
}

/** An install day on the rolls, or where sets follow each other a vehicle of it. */
export interface StageOnRolls {
  readonly day: number;
  readonly unitNumber?: string;
  /** Of the rolls, from the beginning of the print to the end of its last band. */
  readonly rollsBegun: number;
  readonly passedAreaMm2: number;
  /** Of its bands, gaps within it included, and on how many rolls they lie. */
  readonly lengthMm: number;
  readonly stretches: number;
  readonly panelIds: readonly string[];
}

/** What each install day, or each vehicle of it, takes of the rolls, in the order in which they print. */
export function stagesOnRolls(
  { uses }: Pick<RollPlan, 'uses'>,
  rolls: readonly RollStock[],
  { isBySet }: { readonly isBySet: boolean },
): StageOnRolls[] {
  const printed = uses.flatMap(({ bands }) => bands.flatMap(({ panels }) => panels.map(({ item }) => item)));
  const keyOf = (item: PackItem) => JSON.stringify([itemDay(item), isBySet ? (item.unit ?? null) : null]);
  const firsts = [...new Map(printed.map((item) => [keyOf(item), item] as const)).values()].toSorted(
    (a, b) => itemDay(a) - itemDay(b),
  );
  const place = new Map(firsts.map((item, index) => [keyOf(item), index]));
  const ofStages: PackItem[][] = firsts.map(() => []);
  const staged = uses.map(({ rollId, bands }) => ({
    widthMm: foundIn(rolls, ({ id }) => id === rollId).widthMm,
    bands: bands.map((band) => {
      const stages = band.panels.map(({ item }) => {
        const stage = valueAt(place, keyOf(item));
        itemAt(ofStages, stage).push(item);
        return stage;
      });
      // A band is of its first panel to be worked on.
      return { ...band, stage: Math.min(...stages) };
    }),
  }));
  return firsts.map((first, stage): StageOnRolls => {
    let [rollsBegun, passedAreaMm2, lengthMm, stretches] = [0, 0, 0, 0];
    const lastUse = staged.findLastIndex(({ bands }) => bands.some((band) => band.stage <= stage));
    for (const [index, { widthMm, bands }] of staged.slice(0, lastUse + 1).entries()) {
      const end = index < lastUse ? bands.at(-1) : bands.findLast((band) => band.stage <= stage);
      rollsBegun += 1;
      passedAreaMm2 += (present(end, 'The last band of a stage').endMm - firstOf(bands).startMm) * widthMm;
      const own = bands.filter((band) => band.stage === stage);
      if (own.length === 0) continue;
      lengthMm += lastOf(own).endMm - firstOf(own).startMm;
      stretches += 1;
    }
    return {
      day: itemDay(first),
      ...(isBySet && first.unit !== undefined && { unitNumber: first.unit }),
      ...{ rollsBegun, passedAreaMm2, lengthMm, stretches },
      panelIds: itemAt(ofStages, stage).map(({ panelId }) => panelId),
    };
  });
}

/** What each day takes of the rolls. */
export const daysOnRolls = (plan: Pick<RollPlan, 'uses'>, rolls: readonly RollStock[]): StageOnRolls[] =>
  stagesOnRolls(plan, rolls, { isBySet: false });

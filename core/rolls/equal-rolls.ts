import { itemAt } from '../measure/present.ts';
import type { PlanRoll } from './roll-problem.ts';

const likenessOf = ({ stock: { id: _, label: __, ...film } }: PlanRoll): string => JSON.stringify(film);

/** For each roll the first one that is like it and carries nothing locked either; itself where it carries something. */
export function likeRolls(rolls: readonly PlanRoll[]): readonly number[] {
  const firsts = new Map<string, number>();
  return rolls.map((roll, index) => {
    if (roll.locked.length > 0) return index;
    const likeness = likenessOf(roll);
    const first = firsts.get(likeness) ?? index;
    firsts.set(likeness, first);
    return first;
  });
}

/**
 * For each load the roll that takes it: of rolls that are alike and carry nothing locked, those that come first take
 * the loads that there are, in the order of the loads. A search that finds two rolls just as good takes any; people
 * expect the first.
 *
 *     loads  [–, A, –, B]  on four like rolls → A on the first, B on the second
 */
export function loadsOnFirstRolls(
  rolls: readonly PlanRoll[],
  isLoaded: (load: number) => boolean,
): readonly number[] {
  const onto = rolls.map((_, index) => index);
  const free = onto.filter((index) => itemAt(rolls, index).locked.length === 0);
  for (const alike of Map.groupBy(free, (index) => likenessOf(itemAt(rolls, index))).values()) {
    const loads = [...alike.filter(isLoaded), ...alike.filter((load) => !isLoaded(load))];
    loads.forEach((load, place) => {
      onto[load] = itemAt(alike, place);
    });
  }
  return onto;
}

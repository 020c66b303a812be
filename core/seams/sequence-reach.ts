import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import {
  farthestSeam,
  firstAbove,
  firstSeam,
  isWithin,
  type SequenceMemory,
  type SequenceTask,
} from './sequence-search.ts';

/**
 * Whether a sequence can be cut at all, for all requested ends at once: writes 1 or 0 into `out`.
 *
 * It keeps the same limits as the cheapest cut but ignores costs, so counting is enough: a seam is reached from the
 * start, or from any reached seam one panel width before it.
 *
 *     count(j) = how many of the positions before p_j are reached
 */
export function fillSequenceReach(
  task: SequenceTask,
  isAllowed: Uint8Array,
  memory: SequenceMemory,
  out: Uint8Array,
): void {
  const { positions, noFilmAreas, minPanel, border, start } = task;
  const { count } = memory;
  const slack = LENGTH_TOLERANCE_MM;
  const widest = task.price.reduce((most, branch) => Math.max(most, branch.widest), Number.NEGATIVE_INFINITY);
  const low = firstSeam(task);
  const high = firstAbove(positions, farthestSeam(task));

  const fromStart = widest - (start.reach + task.first + 2 * border - start.at) + slack;
  const nearestToStart = start.at + minPanel - slack;
  const between = widest - (task.first + task.second + 2 * border) + slack;
  const isInside = noFilmAreas.map((noFilmArea) => isWithin(noFilmArea, start.at));
  let [near, far, farthest] = [low, low, fromStart];
  count[low] = 0;
  let filled = low;
  for (; filled < high; filled++) {
    const at = positions[filled]!;
    if (noFilmAreas.length === 0 && at > farthest) break;
    while (far < filled && positions[far]! < at - between) far++;
    while (near < filled && positions[near]! <= at - minPanel + slack) near++;
    let isReached = false;
    if (isAllowed[filled] === 1) {
      isReached = (at > nearestToStart && at <= fromStart) || (near > far && count[near]! > count[far]!);
      for (let o = 0; o < noFilmAreas.length; o++) {
        if (!isWithin(noFilmAreas[o]!, at)) continue;
        isReached ||= isInside[o]!;
        isInside[o] ||= isReached;
      }
    }
    if (isReached) farthest = Math.max(farthest, at + between);
    count[filled + 1] = count[filled]! + (isReached ? 1 : 0);
  }

  // Nothing before `low` or from `filled` on is reached.
  const countUpTo = (index: number): number => count[Math.max(low, Math.min(index, filled))]!;
  const isAnyReached = (from: number, to: number): boolean => countUpTo(to) > countUpTo(from);
  for (const [e, { at, reach }] of task.ends.entries()) {
    const allowance = task.second + reach + 2 * border;
    const first = firstAbove(positions, at - (widest - allowance) - slack);
    const isFilm = isAnyReached(first, firstAbove(positions, at - minPanel + slack));
    const isOpen = noFilmAreas.some(
      (noFilmArea) =>
        isWithin(noFilmArea, at) &&
        isAnyReached(firstAbove(positions, noFilmArea.from - slack), firstAbove(positions, at - slack)),
    );
    out[e] = isFilm || isOpen ? 1 : 0;
  }
}

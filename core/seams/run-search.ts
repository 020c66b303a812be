import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type PanelPrice, panelPriceAt } from './film-fit.ts';
import { WindowMinimum } from './window-minimum.ts';

/** An end of a run: where it is, and how far the run's own image reaches past it (bleed, or a joint's allowance). */
export interface RunEnd {
  readonly at: Mm;
  readonly reach: Mm;
}

/**
 * A run to be cut by parallel seams that all share one joint.
 *
 * `positions` are the places where a seam may be, ascending; `seamUnits` what a seam costs at each, Infinity
 * where none may be.
 */
export interface RunTask {
  readonly positions: Float64Array;
  readonly seamUnits: Float64Array;
  /** The joint's allowances: of the part before a seam beyond it, of the part after a seam before it. */
  readonly first: Mm;
  readonly second: Mm;
  readonly border: Mm;
  readonly minPanel: Mm;
  readonly price: PanelPrice;
  readonly start: RunEnd;
  /** Ascending by position. The run is solved for each of them. */
  readonly ends: readonly RunEnd[];
}

/** Memory that searches share, so that thousands of them allocate nothing. */
export interface RunMemory {
  readonly best: Float64Array;
  readonly parent: Int32Array;
  /** One for each branch of a panel's price. */
  readonly branches: readonly BranchMemory[];
}

interface BranchMemory {
  readonly window: WindowMinimum;
  /** For each position, the index up to it where best − perMm · p is smallest. */
  readonly lead: Int32Array;
}

export const runMemory = (positionCount: number): RunMemory => {
  const branch = (): BranchMemory => ({
    window: new WindowMinimum(positionCount),
    lead: new Int32Array(positionCount),
  });
  return {
    best: new Float64Array(positionCount),
    parent: new Int32Array(positionCount),
    branches: [branch(), branch()],
  };
};

export interface RunSolution {
  readonly units: number;
  /** The seams' indices in `positions`, ascending; at least one. */
  readonly seams: readonly number[];
}

const NONE = -1;

/**
 * The cheapest cut of a run into two panels or more, for every asked end at once.
 *
 * Objective: the sum of what its seams and its panels cost. With p the positions, c the seams' costs and P the
 * price of a panel by its film's width, the cheapest cut up to and including a seam at p_j is
 *
 *     best(j) = c_j + min( P(p_j − start + reach + first + 2·border),
 *                          min over i with p_j − p_i ≥ minPanel of best(i) + P(p_j − p_i + second + first + 2·border) )
 *
 * and for an end e: min over i of best(i) + P(e − p_i + second + reach + 2·border).
 *
 * P is the smaller of two straight lines, each up to a width of its own. So the inner minimum is the smaller of two
 * sliding window minima of best(i) − perMm · p_i, and a search takes time in proportion to the number of positions.
 * On a tie the earlier i stays.
 */
export function runSearch(task: RunTask, memory: RunMemory): (RunSolution | undefined)[] {
  fillBest(task, memory);
  return task.ends.map((end) => {
    const { units, last } = endBest(task, memory, end);
    if (last === NONE) return undefined;
    const seams: number[] = [];
    for (let i = last; i !== NONE; i = memory.parent[i]!) seams.push(i);
    return { units, seams: seams.reverse() };
  });
}

/** Only what the cheapest cut costs for each end, Infinity where there is none; into `out`. */
export function runUnits(task: RunTask, memory: RunMemory, out: Float64Array): void {
  fillBest(task, memory);
  for (const [index, end] of task.ends.entries()) out[index] = endBest(task, memory, end).units;
}

/** A branch of the price while a run is filled: its widest panel between two seams, and what that panel costs. */
interface OpenBranch extends BranchMemory {
  readonly perMm: number;
  readonly base: number;
  readonly net: Mm;
  first: number;
  leadIndex: number;
  leadValue: number;
}

function fillBest(task: RunTask, memory: RunMemory): void {
  const { positions, seamUnits, minPanel, price, start } = task;
  const { best, parent } = memory;
  const slack = LENGTH_TOLERANCE_MM;
  const between = task.first + task.second + 2 * task.border;
  const atStart = start.reach + task.first + 2 * task.border;
  const widestAtStart = Math.max(...price.map(({ widest }) => widest)) - atStart + slack;

  const low = firstAbove(positions, start.at + slack);
  const high = firstAbove(positions, task.ends[task.ends.length - 1]!.at - minPanel + slack);
  const branches = price.map(({ base, perMm, widest }, index): OpenBranch => {
    const kept = memory.branches[index]!;
    kept.window.clear();
    return {
      ...kept,
      perMm,
      base: base + perMm * between,
      net: widest - between + slack,
      first: low,
      leadIndex: NONE,
      leadValue: Number.POSITIVE_INFINITY,
    };
  });
  let entering = low;

  for (let j = low; j < high; j++) {
    const p = positions[j]!;

    // Seams far enough back to leave a panel of at least the smallest size now come into question.
    const nearest = p - minPanel + slack;
    for (; entering < j && positions[entering]! <= nearest; entering++) {
      const value = best[entering]!;
      if (value === Number.POSITIVE_INFINITY) continue;
      const at = positions[entering]!;
      for (const branch of branches) branch.window.push(value - branch.perMm * at, entering);
    }

    let units = Number.POSITIVE_INFINITY;
    let from = NONE;
    const seam = seamUnits[j]!;
    if (seam !== Number.POSITIVE_INFINITY) {
      const net = p - start.at;
      if (net >= minPanel - slack && net <= widestAtStart) units = panelPriceAt(price, net + atStart);
      for (const branch of branches) {
        const farthest = p - branch.net;
        while (branch.first < j && positions[branch.first]! < farthest) branch.first++;
        branch.window.dropBelow(branch.first);
        const value = branch.window.smallest + branch.base + branch.perMm * p;
        if (value < units) {
          units = value;
          from = branch.window.smallestIndex;
        }
      }
      units += seam;
    }
    best[j] = units;
    parent[j] = from;

    for (const branch of branches) {
      const sloped = units - branch.perMm * p;
      if (sloped < branch.leadValue) {
        branch.leadValue = sloped;
        branch.leadIndex = j;
      }
      branch.lead[j] = branch.leadIndex;
    }
  }
}

function endBest(task: RunTask, memory: RunMemory, end: RunEnd): { units: number; last: number } {
  const { positions, price, minPanel, start } = task;
  const { best } = memory;
  const slack = LENGTH_TOLERANCE_MM;
  const atEnd = task.second + end.reach + 2 * task.border;
  const low = firstAbove(positions, start.at + slack);
  const high = firstAbove(positions, end.at - minPanel + slack) - 1;
  let units = Number.POSITIVE_INFINITY;
  let last = NONE;
  if (high < low) return { units, last };

  for (const [index, { base, perMm, widest }] of price.entries()) {
    const first = firstAbove(positions, end.at - (widest - atEnd) - slack);
    const atEndBase = base + perMm * (end.at + atEnd);
    if (first <= low) {
      // Any seam so far may be the last one, and which is best among all of them is known.
      const lead = memory.branches[index]!.lead[high]!;
      if (lead === NONE) continue;
      const value = best[lead]! - perMm * positions[lead]! + atEndBase;
      if (value < units) {
        units = value;
        last = lead;
      }
      continue;
    }
    for (let i = first; i <= high; i++) {
      const value = best[i]! - perMm * positions[i]! + atEndBase;
      if (value < units) {
        units = value;
        last = i;
      }
    }
  }
  return { units, last };
}

/** Index of the first position above a value; positions ascend. */
export function firstAbove(positions: Float64Array, value: Mm): number {
  let low = 0;
  let high = positions.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (positions[middle]! > value) high = middle;
    else low = middle + 1;
  }
  return low;
}

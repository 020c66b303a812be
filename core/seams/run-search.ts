import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { BranchWindow } from './branch-window.ts';
import { type PanelPrice, panelPriceAt } from './film-fit.ts';

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
  /** One for each branch of a panel's price. */
  readonly windows: readonly BranchWindow[];
}

export const runMemory = (positionCount: number): RunMemory => ({
  best: new Float64Array(positionCount),
  windows: [new BranchWindow(positionCount), new BranchWindow(positionCount)],
});

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
    const { units, last } = lastSeam(task, memory, end.at, end.reach);
    if (last === NONE) return undefined;
    const seams: number[] = [];
    // The way back is short and seldom wanted, so it is looked up again and not written down on the way.
    for (let seam = last; seam !== NONE; seam = seamBefore(task, memory, seam)) seams.push(seam);
    return { units, seams: seams.reverse() };
  });
}

/** Only what the cheapest cut costs for each end, Infinity where there is none; into `out`. */
export function runUnits(task: RunTask, memory: RunMemory, out: Float64Array): void {
  fillBest(task, memory);
  const { positions, price, minPanel, ends } = task;
  const { best } = memory;
  const low = firstSeam(task);
  out.fill(Number.POSITIVE_INFINITY, 0, ends.length);
  for (const { base, perMm, widest } of price) {
    // The smallest best(i) − perMm · p_i of all seams so far serves every end that a panel reaches from the start.
    let seen = low;
    let least = Number.POSITIVE_INFINITY;
    for (let e = 0; e < ends.length; e++) {
      const { at, reach } = ends[e]!;
      const allowance = task.second + reach + 2 * task.border;
      const first = firstAbove(positions, at - (widest - allowance) - LENGTH_TOLERANCE_MM);
      const high = firstAbove(positions, at - minPanel + LENGTH_TOLERANCE_MM);
      if (first > low) {
        seen = first;
        least = Number.POSITIVE_INFINITY;
      }
      for (; seen < high; seen++) {
        const value = best[seen]! - perMm * positions[seen]!;
        if (value < least) least = value;
      }
      const units = least + base + perMm * (at + allowance);
      if (units < out[e]!) out[e] = units;
    }
  }
}

/**
 * A run for which `seamUnits` holds the least of each block of positions, as one that has only the block's first
 * position: it never costs more than the run itself, and is searched in a fraction of the time.
 *
 * Moved to the start of their blocks, two seams come nearer
 * to each other or farther apart by less than a block, so the limits of a panel's width give way by as much. The
 * widths of a run's panels add up to the same sum wherever its seams lie; what they cost by the millimetre is
 * therefore the same too, but for panels that lie the other way round on the roll, whose rate differs: they are
 * granted the difference.
 */
export function runRelaxed(task: RunTask, blockStarts: Float64Array, span: Mm): RunTask {
  const usual = task.price[0]?.perMm ?? 0;
  return {
    ...task,
    positions: blockStarts,
    minPanel: task.minPanel - span,
    price: task.price.map(({ base, perMm, widest }) => ({
      base: base - Math.abs(perMm - usual) * span,
      perMm,
      widest: widest + span,
    })),
  };
}

/**
 * Fills best. A seam looks back at least by the smallest panel, so the positions are filled in blocks of that length,
 * one branch of the price after the other.
 */
function fillBest(task: RunTask, memory: RunMemory): void {
  const { positions, seamUnits, minPanel, price } = task;
  const { best, windows } = memory;
  const between = task.first + task.second + 2 * task.border;
  const low = firstSeam(task);
  const high = firstAbove(positions, task.ends[task.ends.length - 1]!.at - minPanel + LENGTH_TOLERANCE_MM);
  for (const [index, { base, perMm, widest }] of price.entries()) {
    windows[index]!.open(low, base + perMm * between, perMm, widest - between, minPanel);
  }
  for (let block = low; block < high; ) {
    const blockEnd = firstAbove(positions, positions[block]! + minPanel - 2 * LENGTH_TOLERANCE_MM);
    const end = Math.min(high, Math.max(block + 1, blockEnd));
    fillFirstPanels(task, best, block, end);
    for (let b = 0; b < price.length; b++) windows[b]!.relax(positions, best, block, end);
    for (let j = block; j < end; j++) best[j] = best[j]! + seamUnits[j]!;
    block = end;
  }
}

/** What the panel from the run's start to its first seam costs, for each seam of a block. */
function fillFirstPanels(task: RunTask, best: Float64Array, block: number, end: number): void {
  const { positions, price } = task;
  best.fill(Number.POSITIVE_INFINITY, block, end);
  const allowance = task.start.reach + task.first + 2 * task.border - task.start.at;
  for (let b = 0; b < price.length; b++) {
    const { base, perMm, widest } = price[b]!;
    const last = Math.min(end, firstAbove(positions, widest - allowance + LENGTH_TOLERANCE_MM));
    for (let j = block; j < last; j++) {
      const units = base + perMm * (positions[j]! + allowance);
      if (units < best[j]!) best[j] = units;
    }
  }
}

/** The first position where a seam leaves a panel of at least the smallest size behind it. */
const firstSeam = ({ positions, start, minPanel }: RunTask): number =>
  Math.max(
    firstAbove(positions, start.at + LENGTH_TOLERANCE_MM),
    firstAbove(positions, start.at + minPanel - LENGTH_TOLERANCE_MM),
  );

/** The best seam to stand last before a place where the next panel ends with its image reaching `reach` beyond. */
function lastSeam(
  task: RunTask,
  memory: RunMemory,
  at: Mm,
  reach: Mm,
): { readonly units: number; readonly last: number } {
  const { positions, price, minPanel } = task;
  const { best } = memory;
  const slack = LENGTH_TOLERANCE_MM;
  const allowance = task.second + reach + 2 * task.border;
  const low = firstSeam(task);
  const high = firstAbove(positions, at - minPanel + slack);
  let units = Number.POSITIVE_INFINITY;
  let last = NONE;
  for (let branch = 0; branch < price.length; branch++) {
    const { base, perMm, widest } = price[branch]!;
    const first = Math.max(low, firstAbove(positions, at - (widest - allowance) - slack));
    const baseAtEnd = base + perMm * (at + allowance);
    for (let i = first; i < high; i++) {
      const value = best[i]! - perMm * positions[i]! + baseAtEnd;
      if (value < units) {
        units = value;
        last = i;
      }
    }
  }
  return { units, last };
}

/** The seam before a seam on the cheapest way to it, NONE where that way begins at the run's start. */
function seamBefore(task: RunTask, memory: RunMemory, seam: number): number {
  const at = task.positions[seam]!;
  const { units, last } = lastSeam(task, memory, at, task.first);
  const filmFromStart = at - task.start.at + task.start.reach + task.first + 2 * task.border;
  return units < panelPriceAt(task.price, filmFromStart) ? last : NONE;
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

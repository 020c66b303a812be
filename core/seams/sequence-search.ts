import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { BranchWindow } from './branch-window.ts';
import { MOST_BRANCHES, type PanelPrice, panelPriceAt } from './film-fit.ts';

/**
 * An end of a sequence: where it is, and how far the image of the sequence reaches past it (bleed, or a joint's
 * allowance).
 */
export interface SequenceEnd {
  readonly at: Mm;
  readonly reach: Mm;
  /** Cost of trimming a panel along this end. */
  readonly trim: number;
}

/**
 * A stretch of a sequence that a no-film area covers from side to side. A panel inside it is not printed and costs
 * nothing.
 */
export interface SequenceNoFilmArea {
  readonly from: Mm;
  readonly to: Mm;
  /** Cost of this panel: 0, or negative where a bound allows for it. */
  readonly units: number;
  /** Smallest width of this panel: 0, or negative where a bound allows for it. */
  readonly narrowest: Mm;
}

/**
 * A sequence to be cut by parallel seams that all share one joint.
 *
 * `positions` lists where a seam may be, ascending. `seamUnits` gives the cost of a seam at each position, Infinity
 * where no seam is allowed.
 */
export interface SequenceTask {
  readonly positions: Float64Array;
  readonly seamUnits: Float64Array;
  /**
   * Allowances of the joint: how far the part before a seam extends beyond it, and the part after it extends before it.
   */
  readonly first: Mm;
  readonly second: Mm;
  /** Cost of trimming along a seam, for the part before it and the part after it. */
  readonly trimFirst: number;
  readonly trimSecond: number;
  readonly border: Mm;
  readonly minPanel: Mm;
  readonly price: PanelPrice;
  readonly noFilmAreas: readonly SequenceNoFilmArea[];
  readonly start: SequenceEnd;
  /** Ascending by position. The sequence is solved for each of them. */
  readonly ends: readonly SequenceEnd[];
}

/** Memory that searches share, so that thousands of them allocate nothing. */
export interface SequenceMemory {
  readonly best: Float64Array;
  /** One for each branch of a panel's price. */
  readonly windows: readonly BranchWindow[];
  /** How many positions before each one are reached, for searches that ask only that. */
  readonly count: Int32Array;
}

export const sequenceMemory = (positionCount: number): SequenceMemory => ({
  best: new Float64Array(positionCount),
  windows: Array.from({ length: MOST_BRANCHES }, () => new BranchWindow(positionCount)),
  count: new Int32Array(positionCount + 1),
});

export interface SequenceSolution {
  readonly units: number;
  /** The seams' indices in `positions`, ascending; at least one. */
  readonly seams: readonly number[];
}

const NONE = -1;

/**
 * The cheapest cut of a sequence into two panels or more, for all requested ends at once.
 *
 * Objective: the sum of what its seams and its panels cost. With p the positions, c the seams' costs and P the price of
 * a panel by its film's width, the cheapest cut up to and including a seam at p_j is
 *
 *     best(j) = c_j + min( P(p_j − start + reach + first + 2·border),
 *                          min over i with p_j − p_i ≥ minPanel of best(i) + P(p_j − p_i + second + first + 2·border) )
 *
 * and for an end e: min over i of best(i) + P(e − p_i + second + reach + 2·border).
 *
 * Trims along a panel's two edges are added to its price. Within a no-film area a panel costs nothing and may be of any
 * width, so there best(j) is also c_j + min best(i) over all i before it in the same no-film area.
 *
 * P is the smallest of a few straight lines, each valid up to a maximum width. So the inner minimum is the smallest of
 * as many sliding window minima of best(i) − perMm · p_i, and a search takes time in proportion to the number of
 * positions. On a tie the earlier i stays.
 */
export function sequenceSearch(task: SequenceTask, memory: SequenceMemory): (SequenceSolution | undefined)[] {
  fillBest(task, memory);
  return task.ends.map((end) => {
    const { units, last } = lastSeam(task, memory, end);
    if (last === NONE) return undefined;
    const seams: number[] = [];
    // The path back is short and rarely needed, so it is computed here rather than recorded during the search.
    for (let seam = last; seam !== NONE; seam = seamBefore(task, memory, seam)) seams.push(seam);
    return { units, seams: seams.reverse() };
  });
}

/** Writes into `out` only the cost of the cheapest cut for each end, Infinity where there is none. */
export function fillSequenceUnits(task: SequenceTask, memory: SequenceMemory, out: Float64Array): void {
  fillBest(task, memory);
  const { positions, price, minPanel, ends, noFilmAreas } = task;
  const { best } = memory;
  const low = firstSeam(task);
  out.fill(Number.POSITIVE_INFINITY, 0, ends.length);
  for (const { base, perMm, widest } of price) {
    // The smallest best(i) − perMm · p_i of all seams so far serves every end that a panel reaches from the start.
    let seen = low;
    let least = Number.POSITIVE_INFINITY;
    for (let e = 0; e < ends.length; e++) {
      const { at, reach, trim } = ends[e]!;
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
      const units = least + base + task.trimSecond + trim + perMm * (at + allowance);
      if (units < out[e]!) out[e] = units;
    }
  }
  for (const noFilmArea of noFilmAreas) {
    for (let e = 0; e < ends.length; e++) {
      const { units } = lastInNoFilmArea(task, memory, noFilmArea, ends[e]!.at);
      if (units < out[e]!) out[e] = units;
    }
  }
}

/**
 * Reduces a sequence to the first position of each block, priced at the lowest cost in the block (`seamUnits`). The
 * result never costs more than the full sequence and is searched in a fraction of the time.
 *
 * Moved to the start of their blocks, two seams come nearer to each other or farther apart by less than a block, so the
 * limits on panel width are relaxed by one block, and no-film areas begin one block earlier. Panel widths add up to the
 * same sum wherever the seams are, so their cost per millimeter is the same too. Two cases differ and are credited with
 * the difference: panels turned on the roll, which have another rate, and film that begins in a no-film area.
 */
export function sequenceRelaxed(task: SequenceTask, blockStarts: Float64Array, span: Mm): SequenceTask {
  const usual = task.price[0]?.perMm ?? 0;
  return {
    ...task,
    positions: blockStarts,
    minPanel: task.minPanel - span,
    noFilmAreas: task.noFilmAreas.map(({ from, to }) => ({
      from: from - span,
      to,
      units: -usual * span,
      narrowest: -span,
    })),
    price: task.price.map(({ base, perMm, widest }) => ({
      base: base - Math.abs(perMm - usual) * span,
      perMm,
      widest: widest + span,
    })),
  };
}

/**
 * Fills best. A seam looks back by at least the smallest panel, so positions are filled in blocks of that length, one
 * price branch after the other.
 */
function fillBest(task: SequenceTask, memory: SequenceMemory): void {
  const { positions, seamUnits, minPanel, price, noFilmAreas } = task;
  const { best, windows } = memory;
  const between = task.first + task.second + 2 * task.border;
  const trims = task.trimSecond + task.trimFirst;
  const low = firstSeam(task);
  const high = firstAbove(positions, farthestSeam(task));
  for (const [index, { base, perMm, widest }] of price.entries()) {
    windows[index]!.open(low, base + trims + perMm * between, perMm, widest - between, minPanel);
  }
  const leastInside = noFilmAreas.map((noFilmArea) =>
    isWithin(noFilmArea, task.start.at) ? 0 : Number.POSITIVE_INFINITY,
  );
  fillFirstPanels(task, best, low, high);
  for (let block = low; block < high; ) {
    const farthest = positions[block]! + minPanel - 2 * LENGTH_TOLERANCE_MM;
    let end = block + 1;
    while (end < high && positions[end]! <= farthest) end++;
    for (let b = 0; b < price.length; b++) windows[b]!.relax(positions, best, block, end);
    for (let j = block; j < end; j++) best[j] = best[j]! + seamUnits[j]!;
    for (let o = 0; o < noFilmAreas.length; o++) {
      leastInside[o] = lowerInNoFilmArea(task, best, noFilmAreas[o]!, leastInside[o]!, block, end);
    }
    block = end;
  }
}

/** Lowers `best` in a block to the cost of a panel in a no-film area. Takes and returns the lowest value so far. */
function lowerInNoFilmArea(
  { positions, seamUnits }: SequenceTask,
  best: Float64Array,
  noFilmArea: SequenceNoFilmArea,
  before: number,
  block: number,
  end: number,
): number {
  let least = before;
  for (let j = block; j < end; j++) {
    if (!isWithin(noFilmArea, positions[j]!)) continue;
    // A panel in a no-film area never follows another one, so only values reached through film are kept. In a bound, a
    // panel in a no-film area may begin and end in the same block: it then gets its credit, and no second seam is paid
    // for.
    const fromFilm = best[j]!;
    best[j] = noFilmArea.units + Math.min(fromFilm, least + seamUnits[j]!);
    least = Math.min(least, fromFilm);
  }
  return least;
}

export const isWithin = ({ from, to }: SequenceNoFilmArea, at: Mm): boolean =>
  at >= from - LENGTH_TOLERANCE_MM && at <= to + LENGTH_TOLERANCE_MM;

/** Cost of the panel from the start of the sequence to its first seam, for each seam from `low` up to `end`. */
function fillFirstPanels(task: SequenceTask, best: Float64Array, low: number, end: number): void {
  const { positions, price, start, minPanel } = task;
  if (end <= low) return;
  best.fill(Number.POSITIVE_INFINITY, low, end);
  const trims = start.trim + task.trimFirst;
  const first = Math.max(low, firstAbove(positions, start.at + minPanel - LENGTH_TOLERANCE_MM));
  const allowance = task.start.reach + task.first + 2 * task.border - task.start.at;
  for (let b = 0; b < price.length; b++) {
    const { base, perMm, widest } = price[b]!;
    const last = Math.min(end, firstAbove(positions, widest - allowance + LENGTH_TOLERANCE_MM));
    for (let j = first; j < last; j++) {
      const units = base + trims + perMm * (positions[j]! + allowance);
      if (units < best[j]!) best[j] = units;
    }
  }
}

/** The first position where a seam leaves a panel of at least the smallest size behind it, or one in a no-film area. */
export function firstSeam({ positions, start, minPanel, noFilmAreas }: SequenceTask): number {
  let least = Math.max(LENGTH_TOLERANCE_MM, minPanel - LENGTH_TOLERANCE_MM);
  for (const noFilmArea of noFilmAreas) {
    if (isWithin(noFilmArea, start.at)) least = Math.min(least, noFilmArea.narrowest + LENGTH_TOLERANCE_MM);
  }
  return firstAbove(positions, start.at + least);
}

/** No seam is beyond this position: the last panel has at least the smallest size, or ends in a no-film area. */
export function farthestSeam({ ends, minPanel, noFilmAreas }: SequenceTask): Mm {
  const last = ends[ends.length - 1]!.at - minPanel + LENGTH_TOLERANCE_MM;
  return ends.reduce(
    (farthest, { at }) =>
      noFilmAreas.some((noFilmArea) => isWithin(noFilmArea, at))
        ? Math.max(farthest, at - LENGTH_TOLERANCE_MM)
        : farthest,
    last,
  );
}

interface LastSeam {
  readonly units: number;
  /** Index of the last seam, NONE where no seam can be the last. */
  readonly last: number;
}

/** The best last seam before an end, or before another seam treated as an end. */
function lastSeam(task: SequenceTask, memory: SequenceMemory, { at, reach, trim }: SequenceEnd): LastSeam {
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
    const baseAtEnd = base + task.trimSecond + trim + perMm * (at + allowance);
    for (let i = first; i < high; i++) {
      const value = best[i]! - perMm * positions[i]! + baseAtEnd;
      if (value < units) {
        units = value;
        last = i;
      }
    }
  }
  for (const noFilmArea of task.noFilmAreas) {
    const inside = lastInNoFilmArea(task, memory, noFilmArea, at);
    if (inside.units < units) ({ units, last } = inside);
  }
  return { units, last };
}

/** The best last seam where the panel after it, up to a place, is in a no-film area. */
function lastInNoFilmArea(
  task: SequenceTask,
  { best }: SequenceMemory,
  noFilmArea: SequenceNoFilmArea,
  at: Mm,
): LastSeam {
  let units = Number.POSITIVE_INFINITY;
  let last = NONE;
  if (!isWithin(noFilmArea, at)) return { units, last };
  const { positions } = task;
  const first = Math.max(firstSeam(task), firstAbove(positions, noFilmArea.from - LENGTH_TOLERANCE_MM));
  const high = firstAbove(positions, at - LENGTH_TOLERANCE_MM);
  for (let i = first; i < high; i++) {
    if (best[i]! < units) [units, last] = [best[i]!, i];
  }
  return { units, last };
}

/** The seam before a given seam on the cheapest path, NONE where that path begins at the start of the sequence. */
function seamBefore(task: SequenceTask, memory: SequenceMemory, seam: number): number {
  const at = task.positions[seam]!;
  const { start, first, border, minPanel, noFilmAreas, price } = task;
  const { units, last } = lastSeam(task, memory, { at, reach: first, trim: task.trimFirst });
  const isFilm = at - start.at >= minPanel - LENGTH_TOLERANCE_MM;
  const film = isFilm
    ? panelPriceAt(price, at - start.at + start.reach + first + 2 * border) + start.trim + task.trimFirst
    : Number.POSITIVE_INFINITY;
  const isOpen = noFilmAreas.some((noFilmArea) => isWithin(noFilmArea, start.at) && isWithin(noFilmArea, at));
  return units < (isOpen ? Math.min(0, film) : film) ? last : NONE;
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

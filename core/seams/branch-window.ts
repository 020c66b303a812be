import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';

/**
 * The cheapest previous seam for each next seam of a sequence, by one branch of the panel price (base + perMm · width,
 * up to a widest panel). It is the minimum of v(i) = best(i) − perMm · p_i over the seams i that lie between the
 * smallest and the widest panel back: a window that only moves forward.
 *
 *     first        boundary      entering
 *       ├─ suffix ─────┼─── back ────┤        suffix[i]: smallest v from i up to the boundary
 *                                             back:      smallest v from the boundary on
 *
 * The window's minimum is the smaller of suffix[first] and back. When `first` passes the boundary, the boundary moves
 * to `entering` and the suffix is filled again, once for each seam. No step depends on the order of the values, which
 * makes this faster than a queue in the innermost loop of the planner.
 */
export class BranchWindow {
  readonly #values: Float64Array;
  readonly #suffix: Float64Array;
  #first = 0;
  #boundary = 0;
  #entering = 0;
  #back = 0;
  #perMm = 0;
  #base = 0;
  #nearest: Mm = 0;
  #farthest: Mm = 0;

  constructor(positionCount: number) {
    this.#values = new Float64Array(positionCount);
    this.#suffix = new Float64Array(positionCount);
  }

  /** Begins a sequence at index `low`; `base` and `widest` are for the net width of a panel between two seams. */
  open(low: number, base: number, perMm: number, widest: Mm, minPanel: Mm): void {
    this.#first = low;
    this.#boundary = low;
    this.#entering = low;
    this.#back = Number.POSITIVE_INFINITY;
    this.#base = base;
    this.#perMm = perMm;
    this.#nearest = minPanel - LENGTH_TOLERANCE_MM;
    this.#farthest = widest + LENGTH_TOLERANCE_MM;
  }

  /**
   * Lowers best[j] for j from `start` up to `end` to the price of a panel of this branch. Every seam at least the
   * smallest panel back must already have its final best.
   */
  relax(positions: Float64Array, best: Float64Array, start: number, end: number): void {
    const nearest = this.#nearest;
    const farthest = this.#farthest;
    if (farthest < nearest) return;
    const values = this.#values;
    const suffix = this.#suffix;
    const perMm = this.#perMm;
    const base = this.#base;
    let first = this.#first;
    let boundary = this.#boundary;
    let entering = this.#entering;
    let back = this.#back;

    for (let j = start; j < end; j++) {
      const p = positions[j]!;
      while (entering < start && positions[entering]! <= p - nearest) {
        const value = best[entering]! - perMm * positions[entering]!;
        values[entering] = value;
        if (value < back) back = value;
        entering++;
      }
      while (first < entering && positions[first]! < p - farthest) first++;
      if (first >= boundary) {
        let least = Number.POSITIVE_INFINITY;
        for (let i = entering - 1; i >= first; i--) {
          if (values[i]! < least) least = values[i]!;
          suffix[i] = least;
        }
        boundary = entering;
        back = Number.POSITIVE_INFINITY;
      }
      let least = first < boundary ? suffix[first]! : Number.POSITIVE_INFINITY;
      if (back < least) least = back;
      const units = least + base + perMm * p;
      if (units < best[j]!) best[j] = units;
    }

    this.#first = first;
    this.#boundary = boundary;
    this.#entering = entering;
    this.#back = back;
  }
}

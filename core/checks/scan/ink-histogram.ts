import { INK_STEP_PERCENT } from './schema.ts';

export const FULL_INK = 255;

/** Counts how often each ink sum from 0 to 255 occurs, over a fixed number of plates at most. */
export class InkHistogram {
  readonly #counts: Float64Array;
  readonly #steps: number;

  constructor(plates: number) {
    this.#counts = new Float64Array(FULL_INK * plates + 1);
    this.#steps = (100 * plates) / INK_STEP_PERCENT;
  }

  add(sum: number): void {
    this.#counts[sum]!++;
  }

  /** The largest sum in percent, and for each step the share of the counted pixels above it. */
  sums(): { readonly maxPercent: number; readonly shares: number[] } {
    const total = this.#counts.reduce((sum, count) => sum + count, 0);
    const shares = Array.from({ length: this.#steps }, () => 0);
    let max = 0;
    for (const [sum, count] of this.#counts.entries()) {
      if (count === 0) continue;
      max = sum;
      // A pixel counts as above every step that its sum exceeds.
      const above = Math.min(this.#steps, Math.ceil((100 * sum) / FULL_INK / INK_STEP_PERCENT));
      for (let step = 0; step < above; step++) shares[step]! += count / total;
    }
    return { maxPercent: (100 * max) / FULL_INK, shares };
  }
}

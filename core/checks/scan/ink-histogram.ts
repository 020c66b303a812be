import { INK_STEP_PERCENT } from './schema.ts';

const INKS = 4;
const STEPS = (100 * INKS) / INK_STEP_PERCENT;
export const FULL_INK = 255;

/** How often each sum of four inks of 0 to 255 comes up. */
export class InkHistogram {
  readonly #counts = new Float64Array(FULL_INK * INKS + 1);

  add(sum: number): void {
    this.#counts[sum]!++;
  }

  /** The largest sum in percent, and by step the share of what was counted that lies above it. */
  sums(): { readonly maxPercent: number; readonly shares: number[] } {
    const total = this.#counts.reduce((sum, count) => sum + count, 0);
    const shares = Array.from({ length: STEPS }, () => 0);
    let max = 0;
    for (const [sum, count] of this.#counts.entries()) {
      if (count === 0) continue;
      max = sum;
      // A pixel is above every step that its sum exceeds.
      const above = Math.min(STEPS, Math.ceil((100 * sum) / FULL_INK / INK_STEP_PERCENT));
      for (let step = 0; step < above; step++) shares[step]! += count / total;
    }
    return { maxPercent: (100 * max) / FULL_INK, shares };
  }
}

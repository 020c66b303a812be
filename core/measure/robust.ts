import { itemAt } from './present.ts';

/**
 * The middle and the spread of measured values, robust against single bad days: the median, and the median absolute
 * deviation times 1.4826, which is the standard deviation where the values are normally spread.
 *
 *     robust([10, 12, 11, 13, 12, 11, 50])   → middle 12, spread 1.4826, far off: 50
 */
export interface Robust {
  readonly count: number;
  readonly middle: number;
  readonly spread: number;
  /** Values so far off that they must have another cause; they still count. */
  readonly farOff: readonly number[];
}

const NORMAL_SHARE = 1.4826;
/** Iglewicz and Hoaglin, How to Detect and Handle Outliers, 1993: a modified score above 3.5. */
const MOST_SCORE = 3.5;
const SCORE = 0.6745;

export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1
    ? itemAt(sorted, half)
    : (itemAt(sorted, half - 1) + itemAt(sorted, half)) / 2;
}

/** Undefined without values. */
export function robust(values: readonly number[]): Robust | undefined {
  if (values.length === 0) return undefined;
  const middle = median(values);
  const deviation = median(values.map((value) => Math.abs(value - middle)));
  const isFarOff = (value: number) => SCORE * Math.abs(value - middle) > MOST_SCORE * deviation;
  return {
    count: values.length,
    middle,
    spread: NORMAL_SHARE * deviation,
    farOff: deviation > 0 ? values.filter(isFarOff) : [],
  };
}

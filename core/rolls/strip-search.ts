import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import type { Effort } from './effort.ts';
import { type RandomNumbers, randomIndex } from './random-numbers.ts';
import type { StripItem } from './strip.ts';
import type { StripFiller } from './strip-filling.ts';

/** Orders worth starting from: large, wide, high and long-edged items first. */
export const startOrders = (items: readonly StripItem[]): Int32Array[] => {
  const measures: ((item: StripItem) => number)[] = [
    (item) => item.width * item.height,
    (item) => item.width,
    (item) => item.height,
    (item) => item.width + item.height,
  ];
  return measures.map((measure) =>
    Int32Array.from(items.keys()).sort((a, b) => measure(items[b]!) - measure(items[a]!)),
  );
};

/**
 * Looks for an order whose filling leaves nothing over below the ceiling, by swapping pairs and keeping what
 * is no worse. `order` is changed in place and ends as the best order found. Returns whether the filler now holds
 * a complete packing.
 */
export function isFilledBySwapping(
  filler: StripFiller,
  order: Int32Array,
  ceiling: number,
  random: RandomNumbers,
  effort: Effort,
  patience: number,
): boolean {
  const n = order.length;
  let left = filler.fill(order, ceiling);
  let idle = 0;
  while (left > LENGTH_TOLERANCE_MM) {
    if (effort.left <= 0 || idle > patience || n < 2) return false;
    const a = randomIndex(random, n);
    const b = randomIndex(random, n);
    [order[a], order[b]] = [order[b]!, order[a]!];
    const leftNow = filler.fill(order, ceiling);
    idle = leftNow < left ? 0 : idle + 1;
    if (leftNow <= left) left = leftNow;
    else [order[a], order[b]] = [order[b]!, order[a]!];
  }
  return true;
}

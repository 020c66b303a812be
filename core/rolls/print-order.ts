import type { PackItem, PrintOrder } from '../shop/rolls.ts';

/**
 * How many panels would have to be moved in the print order so that each side comes off the printer in its
 * install order: per side, the panels that are not on a longest run of rising numbers. 0 where any order does.
 */
export function outOfOrderCount(printed: readonly PackItem[], order: PrintOrder): number {
  if (order === 'any') return 0;
  const sign = order === 'first-installed-first' ? 1 : -1;
  const sides = new Map<string, number[]>();
  for (const item of printed) {
    const numbers = sides.get(item.sideId);
    if (numbers) numbers.push(sign * item.installOrder);
    else sides.set(item.sideId, [sign * item.installOrder]);
  }
  let count = 0;
  for (const numbers of sides.values()) count += numbers.length - longestRisingRun(numbers);
  return count;
}

/** Length of the longest subsequence that never falls: [2, 1, 3, 5, 4] → 3. */
export function longestRisingRun(numbers: readonly number[]): number {
  // lowestEnds[k] is the lowest number that a rising run of length k + 1 can end with.
  const lowestEnds: number[] = [];
  for (const number of numbers) {
    let low = 0;
    let high = lowestEnds.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (lowestEnds[middle]! <= number) low = middle + 1;
      else high = middle;
    }
    lowestEnds[low] = number;
  }
  return lowestEnds.length;
}

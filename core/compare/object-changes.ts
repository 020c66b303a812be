/** Finds which objects of a page another page also has in the same order, and which it does not. */
import type { SourceBox } from '../pdf/page/page-space.ts';
import { mayShowIn, type PageObjects } from './page-objects.ts';

export interface ObjectChanges {
  /** Indexes of objects that only one page has, or has in another order. */
  readonly before: readonly number[];
  readonly after: readonly number[];
  /** Objects that both have. */
  readonly pairs: readonly (readonly [before: number, after: number])[];
}

/**
 * Both have A B C D; the second has E between B and C, and D before A:
 *
 *     before  A B C D       pairs A–A, B–B, C–C
 *     after   D A B E C     only before: D · only after: D, E
 * Keeps CA2.
 */
export function objectChanges(
  { prints: before }: PageObjects,
  { prints: after }: PageObjects,
): ObjectChanges {
  const least = Math.min(before.length, after.length);
  let start = 0;
  while (start < least && before[start] === after[start]) start++;
  let end = 0;
  while (end < least - start && before[before.length - 1 - end] === after[after.length - 1 - end]) end++;
  const candidates = samePrints(before, after, start, end);
  const kept = longestRise(candidates.map(([, at]) => at)).map((index) => candidates[index]!);
  const pairs: (readonly [number, number])[] = [];
  for (let i = 0; i < start; i++) pairs.push([i, i]);
  pairs.push(...kept);
  for (let i = end; i > 0; i--) pairs.push([before.length - i, after.length - i]);
  const isKept = [new Set(kept.map(([a]) => a)), new Set(kept.map(([, b]) => b))] as const;
  const left = (length: number, known: ReadonlySet<number>) => {
    const found: number[] = [];
    for (let i = start; i < length - end; i++) if (!known.has(i)) found.push(i);
    return found;
  };
  return { before: left(before.length, isKept[0]), after: left(after.length, isKept[1]), pairs };
}

/** Pairs equal objects, the first with the first, the second with the second, in the order of `before`. */
function samePrints(
  before: Float64Array,
  after: Float64Array,
  start: number,
  end: number,
): (readonly [number, number])[] {
  const places = new Map<number, number[]>();
  for (let i = after.length - end - 1; i >= start; i--) {
    const known = places.get(after[i]!);
    if (known) known.push(i);
    else places.set(after[i]!, [i]);
  }
  const pairs: (readonly [number, number])[] = [];
  for (let i = start; i < before.length - end; i++) {
    const at = places.get(before[i]!)?.pop();
    if (at !== undefined) pairs.push([i, at]);
  }
  return pairs;
}

/** Indexes of a longest rising series of values. */
function longestRise(values: readonly number[]): number[] {
  const ends: number[] = [];
  const previous = new Int32Array(values.length);
  for (const [index, value] of values.entries()) {
    let [low, high] = [0, ends.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (values[ends[middle]!]! < value) low = middle + 1;
      else high = middle;
    }
    previous[index] = low > 0 ? ends[low - 1]! : -1;
    ends[low] = index;
  }
  const rise: number[] = [];
  for (let at = ends.at(-1) ?? -1; at >= 0; at = previous[at]!) rise.push(at);
  return rise.reverse();
}

/** Whether a window shows the same objects in the same order. */
export function isSameInWindow(
  before: PageObjects,
  after: PageObjects,
  windows: readonly [before: SourceBox, after: SourceBox],
): boolean {
  const next = (objects: PageObjects, from: number, window: SourceBox): number => {
    let at = from;
    while (at < objects.prints.length && (objects.hidden[at] === 1 || !mayShowIn(objects, at, window))) at++;
    return at;
  };
  let [a, b] = [next(before, 0, windows[0]), next(after, 0, windows[1])];
  while (a < before.prints.length && b < after.prints.length) {
    if (before.prints[a] !== after.prints[b]) return false;
    [a, b] = [next(before, a + 1, windows[0]), next(after, b + 1, windows[1])];
  }
  return a >= before.prints.length && b >= after.prints.length;
}

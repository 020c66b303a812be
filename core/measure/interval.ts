import { LENGTH_TOLERANCE_MM, type Mm } from './units.ts';

/**
 * A stretch of a straight line from `start` to `end`, `start ≤ end`. Seams use single intervals; a rectangle is two of
 * them.
 */
export interface Interval {
  readonly start: Mm;
  readonly end: Mm;
}

export const intervalLength = (a: Interval): Mm => a.end - a.start;

/** The shared part, or undefined where it has no length: `[0,5] ∩ [3,9] = [3,5]`, `[0,5] ∩ [5,9]` has none. */
export function intervalIntersection(a: Interval, b: Interval): Interval | undefined {
  const start = Math.max(a.start, b.start);
  const end = Math.min(a.end, b.end);
  return end - start > LENGTH_TOLERANCE_MM ? { start, end } : undefined;
}

/** Whether `at` is inside, not on an end. */
export const isStrictlyWithin = (at: Mm, a: Interval): boolean =>
  at > a.start + LENGTH_TOLERANCE_MM && at < a.end - LENGTH_TOLERANCE_MM;

import { itemAt, lastOf } from './present.ts';

export type Pair<T> = readonly [before: T, after: T];

/** Applies one function to both values. */
export const bothMapped = <A, B>([a, b]: readonly [A, A], change: (value: A) => B): readonly [B, B] => [
  change(a),
  change(b),
];

/** Pairs of the items at the same index of two lists of equal length. */
export const pairsOf = <A, B>(a: readonly A[], b: readonly B[]): readonly (readonly [A, B])[] =>
  a.map((item, index) => [item, itemAt(b, index)]);

/** Each item with the one after it: a, b, c gives a b and b c. */
export const pairsInTurn = <T>(list: readonly T[]): readonly Pair<T>[] =>
  list.slice(1).map((after, index) => [itemAt(list, index), after]);

/** Each item with the one after it, and the last with the first: the edges of a closed figure. */
export const pairsAround = <T>(list: readonly T[]): readonly Pair<T>[] =>
  list.map((before, index) => [before, itemAt(list, (index + 1) % list.length)]);

/** Each item with the one before it, beginning with the first, which has the last before it. */
export const pairsFromLast = <T>(list: readonly T[]): readonly Pair<T>[] =>
  list.length === 0 ? [] : pairsInTurn([lastOf(list), ...list]);

/**
 * For values that must exist by design: a missing one is a bug, which throws a clear sentence here instead of
 * continuing with `undefined`. For a value that may be missing, use `?.` or `??`.
 */

/** The item at an index of a list, counted from 0. */
export function itemAt<T>(list: ArrayLike<T | undefined>, place: number): T {
  const item = list[place];
  if (item === undefined) throw new RangeError(`A list of ${list.length} has nothing at place ${place}.`);
  return item;
}

export const firstOf = <T>(list: ArrayLike<T | undefined>): T => itemAt(list, 0);

export const lastOf = <T>(list: ArrayLike<T | undefined>): T => itemAt(list, list.length - 1);

/** The item at an index of a circular list: before the first is the last. */
export const itemAround = <T>(list: ArrayLike<T | undefined>, place: number): T =>
  itemAt(list, ((place % list.length) + list.length) % list.length);

/** The value under a key of a map. */
export function valueAt<K, V>(map: Pick<ReadonlyMap<K, V | undefined>, 'get'>, key: K): V {
  const value = map.get(key);
  if (value === undefined) throw new RangeError(`A map has nothing under ${String(key)}.`);
  return value;
}

/** The first item of a list that meets a condition. */
export function foundIn<T>(list: readonly T[], isIt: (item: T) => boolean): T {
  const item = list.find(isIt);
  if (item === undefined) throw new RangeError(`None of ${list.length} is the one looked for.`);
  return item;
}

/** A value that must be known at this point; `what` begins the sentence for a missing one. */
export function present<T>(value: T | undefined | null, what: string): T {
  if (value === undefined || value === null) throw new TypeError(`${what} is not known here.`);
  return value;
}

/** The code point of a character; iterating over a string never gives an empty one. */
export const codePointOf = (character: string): number => present(character.codePointAt(0), 'A character');

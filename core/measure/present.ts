/**
 * A value that must exist, by how the program is built: where it is missing that is a bug, which is reported here in a
 * sentence instead of continuing with `undefined`. For a value that may be missing, use `?.` or `??`.
 */

/** The item at a place of a list, counted from 0. */
export function itemAt<T>(list: ArrayLike<T | undefined>, place: number): T {
  const item = list[place];
  if (item === undefined) throw new RangeError(`A list of ${list.length} has nothing at place ${place}.`);
  return item;
}

export const firstOf = <T>(list: ArrayLike<T | undefined>): T => itemAt(list, 0);

export const lastOf = <T>(list: ArrayLike<T | undefined>): T => itemAt(list, list.length - 1);

/** The item at a place of a list that goes around: before the first is the last. */
export const itemAround = <T>(list: ArrayLike<T | undefined>, place: number): T =>
  itemAt(list, ((place % list.length) + list.length) % list.length);

/** What a map has under a key. */
export function valueAt<K, V>(map: Pick<ReadonlyMap<K, V | undefined>, 'get'>, key: K): V {
  const value = map.get(key);
  if (value === undefined) throw new RangeError(`A map has nothing under ${String(key)}.`);
  return value;
}

/** The first item of a list that is the one looked for. */
export function foundIn<T>(list: readonly T[], isIt: (item: T) => boolean): T {
  const item = list.find(isIt);
  if (item === undefined) throw new RangeError(`None of ${list.length} is the one looked for.`);
  return item;
}

/** A value that is known by now; `what` begins the sentence for a missing one. */
export function present<T>(value: T | undefined | null, what: string): T {
  if (value === undefined || value === null) throw new TypeError(`${what} is not known here.`);
  return value;
}

/** The number of a character; a string that is gone through by characters has no empty one. */
export const codePointOf = (character: string): number => present(character.codePointAt(0), 'A character');

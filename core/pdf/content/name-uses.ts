import type { ResourceCategory } from './painted.ts';

/** Names of resources by category. */
export type UsedNames = ReadonlyMap<ResourceCategory, ReadonlySet<string>>;

/** A stretch of bytes of a content stream. */
export interface ByteRange {
  readonly start: number;
  readonly end: number;
}

/**
 * Which operators of a stream look which names up. Kept as numbers, because a page of 200,000 objects looks the
 * same few names up over and over.
 */
export class NameUses {
  readonly #names: { readonly category: ResourceCategory; readonly name: string }[] = [];
  readonly #numbers = new Map<ResourceCategory, Map<string, number>>();
  /** In the order of the content: where, and the number of which name. */
  readonly #places: number[] = [];
  readonly #used: number[] = [];
  /** Names that other streams borrow: used wherever. */
  readonly #lent = new Set<number>();

  /** Notes a use at byte `at`. A second run through the stream, which tells the same again, changes nothing. */
  add(category: ResourceCategory, name: string, at: number): void {
    const last = this.#places.at(-1) ?? -1;
    const number = this.#number(category, name);
    if (at < last || (at === last && this.#used.at(-1) === number)) return;
    this.#places.push(at);
    this.#used.push(number);
  }

  lend(category: ResourceCategory, name: string): void {
    this.#lent.add(this.#number(category, name));
  }

  /** The names used outside the ranges, which are in order and apart. */
  outside(ranges: readonly ByteRange[]): UsedNames {
    const isUsed = new Uint8Array(this.#names.length);
    for (const number of this.#lent) isUsed[number] = 1;
    let next = 0;
    for (let i = 0; i < this.#places.length; i++) {
      const at = this.#places[i]!;
      while (next < ranges.length && ranges[next]!.end <= at) next++;
      if (next === ranges.length || ranges[next]!.start > at) isUsed[this.#used[i]!] = 1;
    }
    const names = new Map<ResourceCategory, Set<string>>();
    for (const [number, { category, name }] of this.#names.entries()) {
      if (isUsed[number] === 0) continue;
      const set = names.get(category) ?? new Set<string>();
      names.set(category, set);
      set.add(name);
    }
    return names;
  }

  #number(category: ResourceCategory, name: string): number {
    let numbers = this.#numbers.get(category);
    if (numbers === undefined) {
      numbers = new Map();
      this.#numbers.set(category, numbers);
    }
    let number = numbers.get(name);
    if (number === undefined) {
      number = this.#names.push({ category, name }) - 1;
      numbers.set(name, number);
    }
    return number;
  }
}

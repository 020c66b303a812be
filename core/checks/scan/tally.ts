import { boxOverlap, isBoxEmpty } from '../../pdf/content/bounds.ts';
import { boxUnion, type PageSpace, type SourceBox } from '../../pdf/page/page-space.ts';
import type { Occurrences } from './schema.ts';

/** Places that are kept individually; nobody looks at thousands. */
const MAX_PLACES = 24;

/** Counts things of one kind and remembers where they are. */
export class Tally {
  objects = 0;
  #box: SourceBox | undefined;
  readonly #places: SourceBox[] = [];

  add(box: SourceBox): void {
    this.objects++;
    this.#box = this.#box === undefined ? box : boxUnion(this.#box, box);
    if (this.#places.length < MAX_PLACES) this.#places.push(box);
  }

  /** Undefined where nothing was counted. */
  occurrences(space: PageSpace): Occurrences | undefined {
    if (this.#box === undefined) return undefined;
    return {
      objects: this.objects,
      area: space.rectFromBox(this.#box),
      places: this.#places.map((box) => space.rectFromBox(box)),
    };
  }
}

/** One tally for each key, in the order in which the keys came up. */
export class Tallies<K> {
  readonly #tallies = new Map<K, Tally>();

  add(key: K, box: SourceBox): void {
    let tally = this.#tallies.get(key);
    if (tally === undefined) {
      tally = new Tally();
      this.#tallies.set(key, tally);
    }
    tally.add(box);
  }

  /** Keys that were seen, with their occurrences. */
  seen(space: PageSpace): (readonly [K, Occurrences])[] {
    return [...this.#tallies].flatMap(([key, tally]) => {
      const occurrences = tally.occurrences(space);
      return occurrences === undefined ? [] : [[key, occurrences] as const];
    });
  }
}

/** The part of a box that is on a page, or undefined. */
export function boxOnPage(box: SourceBox, page: SourceBox): SourceBox | undefined {
  const shown = boxOverlap(box, page);
  return isBoxEmpty(shown) ? undefined : shown;
}

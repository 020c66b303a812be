/**
 * Where each object is. It uses pages of typed arrays: a file may number a single object 8,388,607, and a million
 * objects must cost little more than their numbers.
 */
import { itemAt, valueAt } from '../../measure/present.ts';

/** ISO 32000-1, Annex C.2: the largest object number that readers must support. */
export const MAX_OBJECT_NUMBER = 8_388_607;

export type XrefEntry =
  | { readonly kind: 'free' }
  /** `offset` is counted from the start of the file. */
  | { readonly kind: 'stored'; readonly offset: number; readonly generation: number }
  | { readonly kind: 'packed'; readonly container: number; readonly index: number };

const PAGE_ENTRIES = 1024;
const UNKNOWN = 0;
const FREE = 1;
const STORED = 2;
const PACKED = 3;

interface XrefPage {
  readonly kinds: Uint8Array;
  /** Offset of a stored object, or object number of the stream that holds a packed one. */
  readonly places: Float64Array;
  /** Generation of a stored object, or index of a packed one. */
  readonly details: Uint32Array;
}

export class XrefTable {
  readonly #pages = new Map<number, XrefPage>();

  get(objectNumber: number): XrefEntry | undefined {
    const page = this.#pages.get(Math.floor(objectNumber / PAGE_ENTRIES));
    const i = objectNumber % PAGE_ENTRIES;
    switch (page?.kinds[i]) {
      case FREE:
        return { kind: 'free' };
      case STORED:
        return { kind: 'stored', offset: itemAt(page.places, i), generation: itemAt(page.details, i) };
      case PACKED:
        return { kind: 'packed', container: itemAt(page.places, i), index: itemAt(page.details, i) };
      default:
        return undefined;
    }
  }

  /**
   * Sets the entry. With `isOlder`, sets it only where the object has none yet, because newer sections are read first.
   */
  set(objectNumber: number, entry: XrefEntry, isOlder: boolean): void {
    if (!Number.isInteger(objectNumber) || objectNumber < 0 || objectNumber > MAX_OBJECT_NUMBER) return;
    const page = this.#pageFor(objectNumber);
    const i = objectNumber % PAGE_ENTRIES;
    if (isOlder && page.kinds[i] !== UNKNOWN) return;
    switch (entry.kind) {
      case 'free':
        page.kinds[i] = FREE;
        break;
      case 'stored':
        page.kinds[i] = STORED;
        page.places[i] = entry.offset;
        page.details[i] = entry.generation;
        break;
      case 'packed':
        page.kinds[i] = PACKED;
        page.places[i] = entry.container;
        page.details[i] = entry.index;
    }
  }

  /** Every object that is not free, with its entry, page by page. */
  *entries(): Generator<[objectNumber: number, entry: XrefEntry]> {
    for (const [number, page] of this.#pages) {
      for (let i = 0; i < PAGE_ENTRIES; i++) {
        if (page.kinds[i] !== STORED && page.kinds[i] !== PACKED) continue;
        const objectNumber = number * PAGE_ENTRIES + i;
        yield [objectNumber, valueAt(this, objectNumber)];
      }
    }
  }

  #pageFor(objectNumber: number): XrefPage {
    const number = Math.floor(objectNumber / PAGE_ENTRIES);
    let page = this.#pages.get(number);
    if (page === undefined) {
      page = {
        kinds: new Uint8Array(PAGE_ENTRIES),
        places: new Float64Array(PAGE_ENTRIES),
        details: new Uint32Array(PAGE_ENTRIES),
      };
      this.#pages.set(number, page);
    }
    return page;
  }
}

/** A range of bytes of a content stream. */
export interface ByteRange {
  readonly start: number;
  readonly end: number;
}

const FIRST_ITEMS = 256;

/**
 * Ranges of a content stream, each with one bit for every window that needs it. There may be millions, so each takes
 * only 17 bytes. A range is identified by its start, and by its index, which never changes.
 */
export class ItemTable {
  #starts = new Float64Array(FIRST_ITEMS);
  #ends = new Float64Array(FIRST_ITEMS);
  #masks = new Int32Array(FIRST_ITEMS);
  #pinned = new Uint8Array(FIRST_ITEMS);
  #count = 0;
  /** Finds ranges by their start; needed only once a range begins before the one added last. */
  #byStart: Map<number, number> | undefined;

  /** The range that begins at `start`, extended to `end` if it was shorter. */
  item(start: number, end: number): number {
    let item = this.#find(start);
    if (item < 0) item = this.#append(start, end);
    if (end > this.#ends[item]!) this.#ends[item] = end;
    return item;
  }

  start(item: number): number {
    return this.#starts[item]!;
  }

  mask(item: number): number {
    return this.#masks[item]!;
  }

  addMask(item: number, mask: number): void {
    this.#masks[item]! |= mask;
  }

  isPinned(item: number): boolean {
    return this.#pinned[item] === 1;
  }

  /** Keeps a range, no matter what its mask says. */
  pin(item: number): void {
    this.#pinned[item] = 1;
  }

  /** The ranges that no window of `bit` needs, in order and not touching each other. */
  *unneeded(bit: number): Generator<ByteRange> {
    const order = this.#byStart && this.#order();
    let end = -1;
    for (let i = 0; i < this.#count; i += 1) {
      const item = order ? order[i]! : i;
      const start = this.#starts[item]!;
      if (start < end || this.#pinned[item] === 1 || (this.#masks[item]! & bit) !== 0) continue;
      if (this.#ends[item]! <= start) continue;
      end = this.#ends[item]!;
      yield { start, end };
    }
  }

  #order(): Uint32Array {
    return Uint32Array.from({ length: this.#count }, (_, item) => item).sort(
      (a, b) => this.#starts[a]! - this.#starts[b]!,
    );
  }

  #find(start: number): number {
    if (this.#byStart) return this.#byStart.get(start) ?? -1;
    const starts = this.#starts;
    let low = 0;
    let high = this.#count - 1;
    if (high < 0 || start > starts[high]!) return -1;
    while (low <= high) {
      const middle = (low + high) >> 1;
      if (starts[middle] === start) return middle;
      if (starts[middle]! < start) low = middle + 1;
      else high = middle - 1;
    }
    return -1;
  }

  #append(start: number, end: number): number {
    const item = this.#count;
    if (item === this.#starts.length) this.#grow();
    if (!this.#byStart && item > 0 && start < this.#starts[item - 1]!) {
      this.#byStart = new Map();
      for (let known = 0; known < item; known += 1) this.#byStart.set(this.#starts[known]!, known);
    }
    this.#byStart?.set(start, item);
    this.#starts[item] = start;
    this.#ends[item] = end;
    this.#count += 1;
    return item;
  }

  #grow(): void {
    const length = 2 * this.#starts.length;
    const grown = <T extends Float64Array | Int32Array | Uint8Array>(from: T, to: T): T => {
      to.set(from);
      return to;
    };
    this.#starts = grown(this.#starts, new Float64Array(length));
    this.#ends = grown(this.#ends, new Float64Array(length));
    this.#masks = grown(this.#masks, new Int32Array(length));
    this.#pinned = grown(this.#pinned, new Uint8Array(length));
  }
}

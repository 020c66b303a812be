/**
 * The smallest of the values in a window that only moves forward. Values are pushed with rising indices and
 * leave at the front; each is moved at most twice, so a pass over n values takes time in proportion to n.
 * Of equal values the one pushed first stays in front.
 */
export class WindowMinimum {
  readonly #values: Float64Array;
  readonly #indices: Int32Array;
  #head = 0;
  #tail = 0;

  constructor(capacity: number) {
    this.#values = new Float64Array(capacity);
    this.#indices = new Int32Array(capacity);
  }

  clear(): void {
    this.#head = 0;
    this.#tail = 0;
  }

  push(value: number, index: number): void {
    let tail = this.#tail;
    // Larger values that came earlier can never be the smallest again.
    while (tail > this.#head && this.#values[tail - 1]! > value) tail--;
    this.#values[tail] = value;
    this.#indices[tail] = index;
    this.#tail = tail + 1;
  }

  /** Forgets what was pushed with an index below `first`. */
  dropBelow(first: number): void {
    let head = this.#head;
    while (head < this.#tail && this.#indices[head]! < first) head++;
    this.#head = head;
  }

  /** The smallest value, Infinity where the window is empty. */
  get smallest(): number {
    return this.#head < this.#tail ? this.#values[this.#head]! : Number.POSITIVE_INFINITY;
  }

  /** The index of the smallest value; only for a window that is not empty. */
  get smallestIndex(): number {
    return this.#indices[this.#head]!;
  }
}

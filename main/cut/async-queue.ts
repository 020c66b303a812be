/** A queue of values for one reader that waits for them. A value may be undefined. */
export class AsyncQueue<T> {
  readonly #held: { readonly value: T }[] = [];
  #waiting: ((value: T) => void) | undefined;

  push(value: T): void {
    const waiting = this.#waiting;
    this.#waiting = undefined;
    if (waiting) waiting(value);
    else this.#held.push({ value });
  }

  next(): Promise<T> {
    const first = this.#held.shift();
    if (first) return Promise.resolve(first.value);
    return new Promise((resolve) => {
      this.#waiting = resolve;
    });
  }
}

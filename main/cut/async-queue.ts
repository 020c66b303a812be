import { present } from '../../core/measure/present.ts';

/** Values in order, for one reader that waits for them. */
export class AsyncQueue<T> {
  readonly #values: T[] = [];
  #waiting: ((value: T) => void) | undefined;

  push(value: T): void {
    const waiting = this.#waiting;
    this.#waiting = undefined;
    if (waiting) waiting(value);
    else this.#values.push(value);
  }

  next(): Promise<T> {
    if (this.#values.length > 0) return Promise.resolve(present(this.#values.shift(), 'The next value'));
    return new Promise((resolve) => {
      this.#waiting = resolve;
    });
  }
}

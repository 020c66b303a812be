import { type Rect, rectIntersection } from '../measure/rect.ts';

/** Keeps track of which parts of a picture have text, so that later text finds a free place or none. */
export class Placer {
  readonly #taken: Rect[] = [];

  isFree(rect: Rect): boolean {
    return this.#taken.every((taken) => !rectIntersection(taken, rect));
  }

  take(rect: Rect): void {
    this.#taken.push(rect);
  }

  /** Occupies the first free candidate. */
  place(candidates: readonly Rect[]): Rect | undefined {
    const found = candidates.find((candidate) => this.isFree(candidate));
    if (found) this.take(found);
    return found;
  }
}

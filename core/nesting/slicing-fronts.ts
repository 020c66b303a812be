import { type NestPiece, type NestPlace, type PieceKind, pieceKinds, SLACK } from './nest-piece.ts';

/** Half of the cuts mirror the other half. */
const SIDES = 2;

/** Number of ways to divide these pieces, and subsets of them, in two: the work of `shortestSlicing`. */
export function slicingCount(pieces: readonly NestPiece[]): number {
  return (
    pieceKinds(pieces).reduce(
      (ways, { keys: { length } }) => (ways * (length + 1) * (length + 2)) / SIDES,
      1,
    ) / SIDES
  );
}

/** One possible shape of a set of pieces, and the cut that gives it. */
interface Shape {
  readonly width: number;
  readonly height: number;
  /** The pieces before the cut, by set number; 0 for a single piece. */
  readonly first: number;
  readonly isRow: boolean;
}

export interface SlicingLimits {
  readonly width: number;
  /** Greatest length of a part between two cuts across the whole width. */
  readonly longest: number;
  /** Only a shorter total is searched for. */
  readonly below: number;
}

/**
 * The shortest slicing of all. For each subset of the pieces it computes all shapes that no other shape beats in both
 * width and length, from the shapes of the two sets that a cut separates (after L. Stockmeyer, Information and Control
 * 57, 1983, where the cuts are given). Undefined where none is shorter than `below`.
 */
export function shortestSlicing(
  pieces: readonly NestPiece[],
  limits: SlicingLimits,
  look: () => void,
): NestPlace[] | undefined {
  return new SlicingFronts(pieceKinds(pieces), limits, look).shortest();
}

class SlicingFronts {
  readonly #kinds: readonly PieceKind[];
  readonly #limits: SlicingLimits;
  readonly #look: () => void;
  /** How much one more piece of a kind adds to the number of a subset. */
  readonly #steps: number[] = [];
  readonly #fronts: Shape[][] = [[]];
  readonly #all: number;
  readonly #area: Float64Array;
  readonly #slack: number;

  constructor(kinds: readonly PieceKind[], limits: SlicingLimits, look: () => void) {
    this.#kinds = kinds;
    this.#limits = limits;
    this.#look = look;
    let step = 1;
    for (const { keys } of kinds) {
      this.#steps.push(step);
      step *= keys.length + 1;
    }
    this.#all = step - 1;
    this.#area = new Float64Array(step);
    for (let part = 1; part < step; part++) {
      const kind = this.#counts(part).findIndex((count) => count > 0);
      const { width, height } = kinds[kind]!;
      this.#area[part] = this.#area[part - this.#steps[kind]!]! + width * height;
    }
    this.#slack = limits.below * limits.width - this.#area[this.#all]! + SLACK * limits.width;
  }

  shortest(): NestPlace[] | undefined {
    if (this.#slack < 0) return undefined;
    const bands: { length: number; first: number }[] = [{ length: 0, first: 0 }];
    for (let part = 1; part <= this.#all; part++) {
      this.#look();
      this.#fronts[part] = this.#frontOf(part);
      bands.push(this.#bandsOf(part, bands));
    }
    if (bands[this.#all]!.length >= this.#limits.below - SLACK) return undefined;
    const next = this.#kinds.map(() => 0);
    const places: NestPlace[] = [];
    let y = 0;
    for (let part = this.#all; part > 0; ) {
      const { first } = bands[part]!;
      const shape = this.#fronts[first]!.at(-1)!;
      this.#place(first, shape, 0, y, next, places);
      y += shape.height;
      part -= first;
    }
    return places;
  }

  #counts(part: number): number[] {
    return this.#kinds.map(({ keys }, kind) => Math.floor(part / this.#steps[kind]!) % (keys.length + 1));
  }

  /** All subsets of a set of pieces, except the empty set and the set itself. */
  *#partsOf(part: number): Generator<number> {
    const counts = this.#counts(part);
    const digits = counts.map(() => 0);
    let number = 0;
    for (;;) {
      let kind = 0;
      while (kind < digits.length && digits[kind] === counts[kind]) {
        number -= digits[kind]! * this.#steps[kind]!;
        digits[kind] = 0;
        kind++;
      }
      if (kind === digits.length) return;
      digits[kind]!++;
      number += this.#steps[kind]!;
      if (number !== part) yield number;
    }
  }

  /** Increasing width, decreasing length. */
  #frontOf(part: number): Shape[] {
    const single = this.#steps.indexOf(part);
    if (single >= 0) {
      const { width, height } = this.#kinds[single]!;
      return this.#isUseful(part, width, height) ? [{ width, height, first: 0, isRow: false }] : [];
    }
    const found: Shape[] = [];
    for (const first of this.#partsOf(part)) {
      if (first * SIDES > part) continue;
      const [a, b] = [this.#fronts[first]!, this.#fronts[part - first]!];
      if (a.length === 0 || b.length === 0) continue;
      this.#addRows(part, first, a, b, found);
      this.#addStacks(part, first, a, b, found);
    }
    return leastShapes(found);
  }

  #addRows(part: number, first: number, a: readonly Shape[], b: readonly Shape[], found: Shape[]): void {
    for (let i = 0, j = 0; i < a.length && j < b.length; ) {
      const [one, other] = [a[i]!, b[j]!];
      const width = one.width + other.width;
      if (width > this.#limits.width + SLACK) return;
      const height = Math.max(one.height, other.height);
      if (this.#isUseful(part, width, height)) found.push({ width, height, first, isRow: true });
      if (one.height >= height) i++;
      if (other.height >= height) j++;
    }
  }

  #addStacks(part: number, first: number, a: readonly Shape[], b: readonly Shape[], found: Shape[]): void {
    for (let i = a.length - 1, j = b.length - 1; i >= 0 && j >= 0; ) {
      const [one, other] = [a[i]!, b[j]!];
      const height = one.height + other.height;
      const width = Math.max(one.width, other.width);
      if (this.#isUseful(part, width, height)) found.push({ width, height, first, isRow: false });
      if (one.width >= width) i--;
      if (other.width >= width) j--;
    }
  }

  /** Whether a shape fits, and its waste still allows a shorter total. */
  #isUseful(part: number, width: number, height: number): boolean {
    return (
      width <= this.#limits.width + SLACK &&
      height <= Math.min(this.#limits.longest, this.#limits.below) + SLACK &&
      width * height - this.#area[part]! <= this.#slack
    );
  }

  /** The least length of a set in bands: one band that holds its first piece, and the bands of the rest. */
  #bandsOf(part: number, bands: readonly { readonly length: number }[]): { length: number; first: number } {
    const whole = this.#fronts[part]!.at(-1);
    let best = { length: whole?.height ?? Number.POSITIVE_INFINITY, first: part };
    if (this.#limits.longest >= this.#limits.below) return best;
    for (const first of this.#partsOf(part)) {
      const band = this.#fronts[first]!.at(-1);
      const length = band ? band.height + bands[part - first]!.length : Number.POSITIVE_INFINITY;
      if (length < best.length) best = { length, first };
    }
    return best;
  }

  #place(part: number, shape: Shape, x: number, y: number, next: number[], places: NestPlace[]): void {
    const { first, isRow } = shape;
    if (first === 0) {
      const kind = this.#steps.indexOf(part);
      const { keys, width, height } = this.#kinds[kind]!;
      places.push({ key: keys[next[kind]!++]!, width, height, room: -1, x, y });
      return;
    }
    const one = this.#shapeWithin(first, shape);
    const other = this.#shapeWithin(part - first, shape);
    this.#place(first, one, x, y, next, places);
    this.#place(part - first, other, isRow ? x + one.width : x, isRow ? y : y + one.height, next, places);
  }

  /** The narrowest shape of a set within a length, or the shortest within a width. */
  #shapeWithin(part: number, { width, height, isRow }: Shape): Shape {
    const front = this.#fronts[part]!;
    const found = isRow
      ? front.find((shape) => shape.height <= height)
      : front.findLast((shape) => shape.width <= width);
    return found!;
  }
}

/** The shapes that no other shape beats in both directions, by increasing width. */
function leastShapes(shapes: Shape[]): Shape[] {
  shapes.sort((a, b) => a.width - b.width || a.height - b.height);
  let least = Number.POSITIVE_INFINITY;
  return shapes.filter(({ height }) => {
    if (height >= least - SLACK) return false;
    least = height;
    return true;
  });
}

/** Compares letters and colors of the same part of two artworks. */

import { itemAt } from '../measure/present.ts';
import type { Rect } from '../measure/rect.ts';
import type { Letter, PaintedColor } from './paint-evidence.ts';

/** A letter is at the same place within this share of its height, because programs round places. */
const SAME_PLACE = 0.15;
const LEAST_PLACE_MM = 0.3;
/** Components range from 0 to 1; those of Lab to 100 and more. */
const SAME_VALUE = 0.006;
const SAME_LAB = 0.6;

export interface LetterDifferences {
  readonly places: readonly Rect<'finished'>[];
  readonly count: number;
}

/** Letters that only one of them has. Letters at the edge of the part may be missing in one. */
export function letterDifferences(
  before: readonly Letter[],
  after: readonly Letter[],
  isAtEdge: (letter: Letter) => boolean,
): LetterDifferences {
  const left = new LettersLeft(after);
  const missing: Letter[] = [];
  for (const letter of before)
    if (!left.take(letter, (other) => other.text === letter.text)) missing.push(letter);
  // Where a font does not tell the letter, letters match by place alone.
  const added = left.rest();
  const unknown = new LettersLeft(added);
  const lost = missing.filter(
    (letter) => !unknown.take(letter, (other) => letter.text === undefined || other.text === undefined),
  );
  const inside = (letters: readonly Letter[]) => letters.filter((letter) => !isAtEdge(letter));
  const [gone, come] = [inside(lost), inside(unknown.rest())];
  return {
    places: [...gone, ...come].map(({ rect }) => rect),
    count: Math.max(gone.length, come.length),
  };
}

const CELL_MM = 50;

/** Letters by their place; each can be matched once. */
class LettersLeft {
  readonly #cells = new Map<string, Letter[]>();

  constructor(letters: readonly Letter[]) {
    for (const letter of letters) {
      const key = this.#key(letter.at.x, letter.at.y);
      const known = this.#cells.get(key);
      if (known) known.push(letter);
      else this.#cells.set(key, [letter]);
    }
  }

  take({ at, rect }: Letter, isSame: (other: Letter) => boolean): boolean {
    const reach = Math.max(LEAST_PLACE_MM, SAME_PLACE * Math.min(CELL_MM, Math.max(rect.width, rect.height)));
    const keys = new Set(
      [-reach, reach].flatMap((dx) => [-reach, reach].map((dy) => this.#key(at.x + dx, at.y + dy))),
    );
    for (const key of keys) {
      const letters = this.#cells.get(key) ?? [];
      const found = letters.findIndex(
        (other) => isSame(other) && Math.hypot(other.at.x - at.x, other.at.y - at.y) <= reach,
      );
      if (found < 0) continue;
      letters.splice(found, 1);
      return true;
    }
    return false;
  }

  rest(): Letter[] {
    return [...this.#cells.values()].flat();
  }

  #key(x: number, y: number): string {
    return `${Math.floor(x / CELL_MM)} ${Math.floor(y / CELL_MM)}`;
  }
}

/** Colors that only one of them has. */
export function colorDifferences(
  before: readonly PaintedColor[],
  after: readonly PaintedColor[],
): PaintedColor[] {
  const without = (colors: readonly PaintedColor[], others: readonly PaintedColor[]) =>
    colors.filter((color) => !others.some((other) => isSameColor(color, other)));
  return [...without(before, after), ...without(after, before)];
}

function isSameColor(a: PaintedColor, b: PaintedColor): boolean {
  if (a.kind !== b.kind || a.values.length !== b.values.length) return false;
  const most = a.kind.startsWith('Lab') ? SAME_LAB : SAME_VALUE;
  return a.values.every((value, i) => Math.abs(value - itemAt(b.values, i)) <= most);
}

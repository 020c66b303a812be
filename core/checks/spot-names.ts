/** Detects spot ink names that mean the same ink but are written differently: each spelling makes a separate plate. */
import { itemAt } from '../measure/present.ts';

/** Paper suffixes of swatch books (coated, uncoated, matte, and their variants), common practice, no source. */
const SUFFIX = /(?<=[^a-z])(?:c|u|m|cv|uv|cvc|cvu|cp|up|pc|ec)$/;

/** A name in the form used for comparison, without case, spaces, hyphens, underscores and paper suffixes. */
export function spotNamePlain(name: string): string {
  const lower = name.normalize('NFKC').toLowerCase().trim();
  return lower.replace(SUFFIX, '').replace(/[\s\-_.‐‑–—]+/g, '');
}

/**
 * Whether two different names look like one ink. Numbers must agree, because swatch books distinguish inks by them;
 * a slip of one letter in five, or of two in ten, may be a typing error.
 */
export function isSpotNameAlike(a: string, b: string): boolean {
  if (a === b) return false;
  const [plainA, plainB] = [spotNamePlain(a), spotNamePlain(b)];
  if (plainA === plainB) return true;
  if (digitsOf(plainA) !== digitsOf(plainB)) return false;
  const length = Math.min(plainA.length, plainB.length);
  return length >= 5 && editDistance(plainA, plainB) <= (length >= 10 ? 2 : 1);
}

const digitsOf = (name: string): string => name.replace(/\D+/g, ' ').trim();

/** How many letters to insert, drop, replace or swap with their neighbor (optimal string alignment). */
export function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const isSame = a[i - 1] === b[j - 1];
      let least = Math.min(
        itemAt(last, j) + 1,
        itemAt(row, j - 1) + 1,
        itemAt(last, j - 1) + (isSame ? 0 : 1),
      );
      const isSwap = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (isSwap) least = Math.min(least, itemAt(before, j - 2) + 1);
      row.push(least);
    }
    before = last;
    last = row;
  }
  return itemAt(last, b.length);
}

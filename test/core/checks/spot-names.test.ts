import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { editDistance, isSpotNameAlike } from '../../../core/checks/spot-names.ts';

describe('names of spot inks', () => {
  it('AC6 case, spaces, hyphens and paper suffixes make no other ink', () => {
    const alike = [
      ['Signal Red', 'SIGNAL RED'],
      ['Signal Red', 'Signal-Red'],
      ['Signal Red', 'SignalRed'],
      ['Signal Red C', 'Signal Red U'],
      ['Alder 185 C', 'Alder 185'],
      ['Alder 185 CVC', 'Alder 185 U'],
      ['Gold_Leaf', 'gold leaf'],
      ['Signal Red', 'Singal Red'],
      ['County Green', 'County Grean'],
    ] as const;
    for (const [a, b] of alike)
      expect([a, b, isSpotNameAlike(a, b), isSpotNameAlike(b, a)]).toEqual([a, b, true, true]);
  });

  it('AC6 other numbers and other words are other inks', () => {
    const apart = [
      ['Alder 185 C', 'Alder 186 C'],
      ['Alder 18', 'Alder 1 8 5'],
      ['Red', 'Rad'],
      ['Signal Red', 'Signal Blue'],
      ['Gold', 'Cold'],
      ['White', 'Varnish'],
    ] as const;
    for (const [a, b] of apart) expect([a, b, isSpotNameAlike(a, b)]).toEqual([a, b, false]);
    expect(isSpotNameAlike('Signal Red', 'Signal Red')).toBe(false);
  });

  it('AC6 slips of the pen are counted as published: kitten to sitting is 3, a swap of neighbors 1', () => {
    // Levenshtein's distance by its usual example; a transposition as in Damerau, CACM 7(3), 1964.
    expect(editDistance('kitten', 'sitting')).toBe(3);
    expect(editDistance('ca', 'ac')).toBe(1);
    expect(editDistance('', 'red')).toBe(3);
    const words = fc.string({ maxLength: 9, unit: fc.constantFrom('a', 'b', 'c') });
    fc.assert(
      fc.property(words, words, words, (a, b, c) => {
        expect(editDistance(a, b)).toBe(editDistance(b, a));
        expect(editDistance(a, b) === 0).toBe(a === b);
        expect(editDistance(a, b)).toBeGreaterThanOrEqual(Math.abs(a.length - b.length));
        // A letter more costs one more at most.
        expect(Math.abs(editDistance(`${a}${c}`, b) - editDistance(a, b))).toBeLessThanOrEqual(c.length);
      }),
    );
  });
});

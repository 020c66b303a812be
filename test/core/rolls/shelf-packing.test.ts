import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { packingFirstFit, packingNextFit } from '../../../core/rolls/shelf-packing.ts';
import { HOPPER_TURTON_FILE, stripInstancesFromFile } from '../../bench/pack.ts';
import { perfectStrips } from '../../support/perfect-strips.ts';
import { stripPackingFaults } from '../../support/strip-check.ts';

describe('shelf packings', () => {
  it('RL2 first fit by falling height gives the heights measured on one instance of each class', () => {
    // Computed once with a separate program on the instances of Hopper and Turton (2001).
    const expected = {
      'C1-P1': 25,
      'C2-P1': 17,
      'C3-P1': 39,
      'C4-P1': 78,
      'C5-P1': 110,
      'C6-P1': 159,
      'C7-P1': 284,
    };
    const heights = Object.fromEntries(
      stripInstancesFromFile(HOPPER_TURTON_FILE)
        .filter(({ name }) => name in expected)
        .map(({ name, items, stripWidth }) => [name, packingFirstFit(items, stripWidth).height]),
    );
    expect(heights).toEqual(expected);
  });

  // Guarantees: Coffman, Garey, Johnson, Tarjan, SIAM Journal on Computing 9 (1980), from memory.
  it('RL2 next fit stays within twice the optimum plus the tallest item', () => {
    fc.assert(
      fc.property(perfectStrips(40), ({ items, stripWidth, optimalHeight }) => {
        const packing = packingNextFit(items, stripWidth);
        expect(stripPackingFaults(items, stripWidth, packing)).toEqual([]);
        expect(packing.height).toBeLessThanOrEqual(2 * optimalHeight + tallest(items));
      }),
    );
  });

  it('RL2 first fit stays within 1.7 times the optimum plus the tallest item, and under next fit', () => {
    fc.assert(
      fc.property(perfectStrips(40), ({ items, stripWidth, optimalHeight }) => {
        const packing = packingFirstFit(items, stripWidth);
        expect(stripPackingFaults(items, stripWidth, packing)).toEqual([]);
        expect(packing.height).toBeLessThanOrEqual(1.7 * optimalHeight + tallest(items));
        expect(packing.height).toBeLessThanOrEqual(packingNextFit(items, stripWidth).height);
      }),
    );
  });

  it('RL2 an item wider than the strip or without area is a mistake of the caller', () => {
    expect(() => packingFirstFit([{ width: 11, height: 2 }], 10)).toThrow(
      'Item 0 is 11 wide; the strip is 10.',
    );
    expect(() => packingNextFit([{ width: 3, height: 0 }], 10)).toThrow('Item 0 has no area: 3 × 0.');
  });
});

const tallest = (items: readonly { height: number }[]): number =>
  Math.max(...items.map((item) => item.height));

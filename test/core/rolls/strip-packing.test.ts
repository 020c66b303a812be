import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { packingFirstFit } from '../../../core/rolls/shelf-packing.ts';
import { stripPacking } from '../../../core/rolls/strip-packing.ts';
import { HOPPER_TURTON_FILE, stripInstancesFromFile } from '../../bench/pack.ts';
import { perfectStrips } from '../../support/perfect-strips.ts';
import { stripPackingFaults } from '../../support/strip-check.ts';

/** A small part of the packer's default, so that the tests stay short; `npm run bench pack` measures the default. */
const SHORT_EFFORT = 2_000_000;

describe('the strip packer', () => {
  it('RL3 stays within 3 % of the optimum on average over the 21 instances of Hopper and Turton (2001)', () => {
    const gaps = stripInstancesFromFile(HOPPER_TURTON_FILE).map(({ items, stripWidth, optimalHeight }) => {
      const packing = stripPacking(items, stripWidth, SHORT_EFFORT);
      expect(stripPackingFaults(items, stripWidth, packing)).toEqual([]);
      expect(packing.height).toBeLessThanOrEqual(packingFirstFit(items, stripWidth).height);
      expect(packing.height).toBeGreaterThanOrEqual(optimalHeight);
      expect(packing.isOptimal).toBe(packing.height === optimalHeight);
      return packing.height / optimalHeight - 1;
    });
    expect(gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length).toBeLessThanOrEqual(0.03);
  });

  it('RL3 lays random strips soundly, between the bound and first fit, and the same way each time', () => {
    fc.assert(
      fc.property(perfectStrips(25), ({ items, stripWidth }) => {
        const packing = stripPacking(items, stripWidth, 50_000);
        expect(stripPackingFaults(items, stripWidth, packing)).toEqual([]);
        expect(packing.height).toBeGreaterThanOrEqual(packing.bound);
        expect(packing.height).toBeLessThanOrEqual(packingFirstFit(items, stripWidth).height);
        expect(stripPacking(items, stripWidth, 50_000)).toEqual(packing);
      }),
    );
  });

  it('RL3 takes lengths that are not whole numbers', () => {
    fc.assert(
      fc.property(perfectStrips(14), fc.double({ min: 0.013, max: 41.7, noNaN: true }), (strip, unit) => {
        const items = strip.items.map(({ width, height }) => ({
          width: width * unit,
          height: height * unit * 1.1,
        }));
        const packing = stripPacking(items, strip.stripWidth * unit, 20_000);
        expect(stripPackingFaults(items, strip.stripWidth * unit, packing)).toEqual([]);
      }),
    );
  });

  it('RL3 an empty strip has no height', () => {
    expect(stripPacking([], 20)).toEqual({ height: 0, places: [], bound: 0, isOptimal: true });
  });
});

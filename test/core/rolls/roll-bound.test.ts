import { describe, expect, it } from 'vitest';
import { rollBound } from '../../../core/rolls/roll-bound.ts';
import { panelOf, rollOf, rulesOf } from '../../support/roll-plan-cases.ts';

describe('the bound of a roll plan', () => {
  it('panels wider than half the film each take film of their own', () => {
    const items = [700, 800, 900].map((width, index) => panelOf(index + 1, width, 1000 + 100 * index));
    expect(rollBound(items, [rollOf()], rulesOf()).lengthMm).toBe(1200 + 1100 + 1000 + 2 * 15 + 210 + 170);
  });

  it('narrow panels take at least their area with the spaces around them', () => {
    const items = [1900, 1700, 1300, 800].map((length, index) => panelOf(index + 1, 640, length));
    const least = (655 * (1915 + 1715 + 1315 + 815)) / (1349.6 + 15);
    expect(rollBound(items, [rollOf()], rulesOf()).lengthMm).toBe(Math.ceil(least) - 15 + 210 + 170);
  });

  it('many sides that may each turn: panels too wide to lie beside each other either way take a band each', () => {
    const items = Array.from({ length: 8 }, (_, index) =>
      panelOf(index + 1, 900, 1200, { sideId: `side-${index}`, mayTurn: true }),
    );
    // By hand: across the film lies the longer way, so each band is 900 long; 256 combinations are not tried.
    expect(rollBound(items, [rollOf()], rulesOf()).lengthMm).toBe(8 * 900 + 7 * 15 + 210 + 170);
  });

  it('many sides: panels that fill the width together share a band, to the last digit', () => {
    // 1,349.6 of film take 899.6 and 435 with a gap between them.
    const items = Array.from({ length: 16 }, (_, index) =>
      panelOf(index + 1, index % 2 === 0 ? 899.6 : 435, 1300, { sideId: `side-${index}`, mayTurn: true }),
    );
    const { lengthMm } = rollBound(items, [rollOf()], rulesOf());
    expect(lengthMm).toBeLessThanOrEqual(8 * 1300 + 7 * 15 + 210 + 170 + 0.01);
  });

  it('counts the lead-in and tail of as many rolls as the length needs', () => {
    const items = Array.from({ length: 5 }, (_, index) => panelOf(index + 1, 1200, 2000));
    const rolls = [rollOf({ usableLengthMm: 6500 }), rollOf({ id: 'roll-b', usableLengthMm: 6700 })];
    // Six meters of panels go on a roll, so five panels take both: by hand 5 × 2,000, two overheads, three gaps.
    expect(rollBound(items, rolls, rulesOf()).lengthMm).toBe(5 * 2000 + 2 * (210 + 170) + 3 * 15);
  });
});

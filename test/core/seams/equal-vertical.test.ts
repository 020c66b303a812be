import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { equalPanelCount, equalVerticalFromSide } from '../../../core/seams/equal-vertical.ts';
import { planFigures } from '../../../core/seams/plan-figures.ts';
import { limitsBroken } from '../../../core/seams/plan-limits.ts';
import { frameFilm, sideFrame, treeParts } from '../../../core/seams/plan-tree.ts';
import { plansFromSide } from '../../../core/seams/planner.ts';
import { area, BODY_LAP, planSide, ROLL_60, SHIFT_LAP, treeSeams } from '../../support/plan-sides.ts';

describe('equal vertical panels', () => {
  /** Worked by hand for a 53 ft trailer, L = 16,154.4: n = ⌈(L − o) ÷ (w − o)⌉. The second is the boundary case, 12.05. */
  it('SP7 counts as the trade does', () => {
    expect(equalPanelCount(16_154.4, 1504, 25)).toBe(11);
    expect(equalPanelCount(16_154.4, 1352, 12.7)).toBe(13);
    expect((16_154.4 - 12.7) / (1352 - 12.7)).toBeCloseTo(12.05, 2);
    // A millimeter more or less of length at the boundary of 12 panels.
    const twelve = 12 * (1352 - 12.7) + 12.7;
    expect(equalPanelCount(twelve, 1352, 12.7)).toBe(12);
    expect(equalPanelCount(twelve + 0.1, 1352, 12.7)).toBe(13);
    expect(equalPanelCount(900, 1352, 12.7)).toBe(1);
    expect(equalPanelCount(900, 10, 12.7)).toBe(Number.POSITIVE_INFINITY);
  });

  it('SP7 lays as many equalVertical as counted, full width from the rear, what is left at the front', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1600, max: 20_000 }),
        fc.constantFrom(BODY_LAP, SHIFT_LAP),
        fc.constantFrom('left' as const, 'right' as const),
        (width, lap, front) => {
          const side = planSide({ width, height: 2300, front, laps: [lap] });
          const tree = equalVerticalFromSide(side, { roll: ROLL_60, lap })!;
          const { panels } = treeParts(tree, sideFrame(side));
          const films = panels.map(({ frame }) => frameFilm(frame).width);
          if (front === 'left') films.reverse();
          const drop = 1504 - 2 * 20;
          expect(films).toHaveLength(equalPanelCount(width + 100, drop, lap.under + lap.over));
          for (const film of films.slice(0, -1)) expect(film).toBeCloseTo(1504, 6);
          expect(films.at(-1)!).toBeLessThan(1504 + 1e-6);
          // By geometry: Σ panel widths − (n − 1) × overlap = design width.
          const printed = films.reduce((sum, film) => sum + film - 40, 0);
          expect(printed - (films.length - 1) * (lap.under + lap.over)).toBeCloseTo(width + 100, 6);
        },
      ),
    );
  });

  it('SP7 stands beside every plan with the limits that it breaks', () => {
    const side = planSide({ width: 6000, height: 2200, noSeamAreas: [area('logo', 1300, 400, 300, 250)] });
    const outcome = plansFromSide(side, { layouts: 'one-way' });
    if (outcome.kind !== 'plans') throw new Error(outcome.kind);
    const equalVertical = outcome.equalVertical!;
    expect(equalVertical.broken.map(({ limit, itemId }) => [limit, itemId])).toEqual([
      ['no-seam-area', 'logo'],
    ]);
    expect(equalVertical.figures).toEqual(planFigures(side, equalVertical.stock, equalVertical.tree));
    expect(limitsBroken(side, equalVertical.stock, equalVertical.tree)).toEqual(equalVertical.broken);
    expect(treeSeams(side, equalVertical.tree)[0]!.place.at).toBeCloseTo(1504 - 40 - 50 - 25, 9);
  });
});

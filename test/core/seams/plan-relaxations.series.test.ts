import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { NO_WEIGHTS } from '../../../core/seams/plan-objective.ts';
import { planRelaxations, type Relaxation } from '../../../core/seams/plan-relaxations.ts';
import type { PlanSide } from '../../../core/seams/plan-side.ts';
import { onlyStock, randomSide } from '../../support/random-sides.ts';
import { leastMixedUnits } from '../../support/seam-brute-force.ts';
import { seriesRuns } from '../../support/series.ts';

/** The side with a limit relaxed by `by`, as a shop would do it; undefined for a limit that is no length. */
function relaxed(side: PlanSide, { limit, itemId, lockedIndex }: Relaxation, by: number): PlanSide[] {
  const [roll, lap] = [side.rolls[0]!, side.laps[0]!];
  switch (limit) {
    case 'printable-width':
      return [{ ...side, rolls: [{ ...roll, width: roll.width + by }] }];
    case 'longest-print':
      return [{ ...side, rolls: [{ ...roll, longest: roll.longest + by }] }];
    case 'longest-panel':
      return [{ ...side, longestPanel: side.longestPanel! + by }];
    case 'rivet-row':
      return [{ ...side, rivetClearance: Math.max(0, side.rivetClearance - by) }];
    case 'body-gap':
      return [{ ...side, gapAllowance: Math.max(0, side.gapAllowance - by) }];
    case 'smallest-panel':
      return [{ ...side, minPanel: side.minPanel - by }];
    case 'border':
      return [{ ...side, border: Math.max(0, side.border - by) }];
    case 'lap': {
      const over = Math.max(0, lap.over - by);
      const under = Math.max(0, lap.under - Math.max(0, by - lap.over));
      return [{ ...side, laps: [{ ...lap, over, under }] }];
    }
    case 'no-film-clearance':
      return [
        { ...side, noFilmAreas: side.noFilmAreas.map((o) => ({ ...o, margin: Math.max(0, o.margin - by) })) },
      ];
    case 'no-seam-area':
      return [
        {
          ...side,
          noSeamAreas: side.noSeamAreas.flatMap((one) => {
            if (one.id !== itemId) return [one];
            const { x, y, width, height } = one.rect;
            const rest = { x: x + by, y: y + by, width: width - 2 * by, height: height - 2 * by };
            return rest.width > 0 && rest.height > 0 ? [{ ...one, rect: rest }] : [];
          }),
        },
      ];
    case 'locked-seam':
      return [-by, by]
        .map((move) => ({
          ...side,
          locked: side.locked.map((seam, i) => (i === lockedIndex ? { ...seam, at: seam.at + move } : seam)),
        }))
        .filter(({ locked }) => {
          const { at, axis } = locked[lockedIndex!]!;
          return at > 0 && at < (axis === 'vertical' ? side.width : side.height);
        });
    default:
      return [];
  }
}

const isPossible = (side: PlanSide): boolean =>
  leastMixedUnits(side, onlyStock(side), NO_WEIGHTS) !== Number.POSITIVE_INFINITY;

describe('a side without any plan', () => {
  it('each named limit suffices, and a millimeter less does not', () => {
    const seen = new Set<string>();
    let cases = 0;
    fc.assert(
      fc.property(randomSide({ width: [9, 19], height: [8, 14], roll: [8, 14], linesEachWay: 1 }), (side) => {
        if (isPossible(side)) return;
        cases++;
        for (const relaxation of planRelaxations(side, ['mixed'])) {
          const { by } = relaxation;
          if (by === undefined) continue;
          seen.add(relaxation.limit);
          expect([relaxation.limit, relaxed(side, relaxation, by).some(isPossible)]).toEqual([
            relaxation.limit,
            true,
          ]);
          if (by > 1) {
            expect([relaxation.limit, relaxed(side, relaxation, by - 1).some(isPossible)]).toEqual([
              relaxation.limit,
              false,
            ]);
          }
        }
      }),
      seriesRuns(50, 1000, 14),
    );
    expect(cases).toBeGreaterThan(5);
    expect([...seen].sort()).toEqual(
      expect.arrayContaining(['no-seam-area', 'printable-width', 'smallest-panel']),
    );
  });
});

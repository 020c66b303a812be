import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { NO_WEIGHTS } from '../../../core/seams/plan-objective.ts';
import { planRelaxations, type Relaxation } from '../../../core/seams/plan-relaxations.ts';
import type { PlanSide } from '../../../core/seams/plan-side.ts';
import { plansFromSide } from '../../../core/seams/planner.ts';
import { area, bodyLine, planSide, ROLL_60 } from '../../support/plan-sides.ts';
import { onlyStock, randomSide } from '../../support/random-sides.ts';
import { leastMixedUnits } from '../../support/seam-brute-force.ts';

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
    case 'panel-gap':
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
  it('SP14 names the no-seam area in the way and how far a seam must come into it', () => {
    // 1,830 mm of keep-clear from edge to edge; drops are 1,504 wide, of which 1,439 are net between two laps.
    const side = planSide({
      width: 4200,
      height: 2300,
      rolls: [{ ...ROLL_60, longest: 2500 }],
      noSeamAreas: [area('mural', 1170, 0, 1830, 2300)],
    });
    const outcome = plansFromSide(side, { layouts: 'one-way' });
    if (outcome.kind !== 'infeasible') throw new Error(outcome.kind);
    const byLimit = Object.fromEntries(outcome.relaxations.map((r) => [r.limit, r]));
    // 1,830 − 2 · by ≤ 1,439 gives by = 196 (195.5 rounded up).
    expect(byLimit['no-seam-area']).toEqual({ limit: 'no-seam-area', by: 196, itemId: 'mural' });
    expect(byLimit['printable-width']).toEqual({ limit: 'printable-width', by: 391, to: 1504 + 391 });
    // Long enough to lie along the roll, 2,300 high in two rows: 4,200 + 100 + 40.
    expect(byLimit['longest-print']).toBeUndefined();
    expect(outcome.drops?.broken.map(({ limit }) => limit)).toContain('no-seam-area');
  });

  it('SP14 tells how far a locked seam must move', () => {
    const side = planSide({
      width: 2900,
      height: 2300,
      rolls: [{ ...ROLL_60, longest: 2500 }],
      locked: [{ axis: 'vertical', at: 100, from: 0, to: 2300 }],
    });
    const outcome = plansFromSide(side, { layouts: 'one-way' });
    if (outcome.kind !== 'infeasible') throw new Error(outcome.kind);
    const locked = outcome.relaxations.find(({ limit }) => limit === 'locked-seam');
    // No panel under 150 mm: 50 mm to the right.
    expect(locked).toEqual({ limit: 'locked-seam', by: 50, to: 150, lockedIndex: 0 });
    expect(outcome.relaxations.find(({ limit }) => limit === 'smallest-panel')).toEqual({
      limit: 'smallest-panel',
      by: 50,
      to: 100,
    });
  });

  /**
   * Each side is tight in one limit, worked out by hand. Film prints 1,504 wide; bleed is 50, border 20, a lap 25 under
   * the right part. Areas to keep clear leave no place for a seam, or one place.
   */
  const upright = { ...ROLL_60, longest: 2800 };
  const allClear = (width: number, height: number) => [area('art', 0, 0, width, height)];
  const clearBut = (from: number, to: number) => [
    area('left', 0, 0, from, 2600),
    area('right', to, 0, 2780 - to, 2600),
  ];
  const tight: [Relaxation, PlanSide][] = [
    [
      // 1,600 + 100 + 40 of film across, whichever way it lies.
      { limit: 'printable-width', by: 236, to: 1740 },
      planSide({ width: 3000, height: 1600, noSeamAreas: allClear(3000, 1600) }),
    ],
    [
      // 4,000 + 100 + 40 of film along.
      { limit: 'longest-print', by: 1640, to: 4140 },
      planSide({
        width: 1000,
        height: 4000,
        noSeamAreas: allClear(1000, 4000),
        rolls: [{ ...ROLL_60, longest: 2500 }],
      }),
    ],
    [
      { limit: 'longest-panel', by: 1640, to: 4140 },
      planSide({ width: 4000, height: 1000, noSeamAreas: allClear(4000, 1000), longestPanel: 2500 }),
    ],
    [
      // 1,380 + 100 leaves 24 of 1,504 for two borders.
      { limit: 'border', by: 8, to: 12 },
      planSide({ width: 2000, height: 1380, noSeamAreas: allClear(2000, 1380) }),
    ],
    [
      // The only seam is at 1,400: 50 + 1,400 + 40 leaves 14 for the lap.
      { limit: 'lap', by: 11, to: 14 },
      planSide({ width: 2780, height: 2600, noSeamAreas: clearBut(1400, 1400), rolls: [upright] }),
    ],
    [
      // A seam at 1,385 is 45 from the window.
      { limit: 'no-film-clearance', by: 15, to: 45 },
      planSide({
        width: 2780,
        height: 2600,
        noSeamAreas: clearBut(1385, 1410),
        noFilmAreas: [{ ...area('window', 1430, 500, 300, 400), margin: 60 }],
        rolls: [upright],
      }),
    ],
    [
      // The gap runs down only part of the side, so no break can lie on it; a lap at 1,388 is 12 from it.
      { limit: 'panel-gap', by: 3, to: 12 },
      planSide({
        width: 2780,
        height: 2600,
        noSeamAreas: clearBut(1388, 1410),
        lines: [bodyLine({ kind: 'panel-gap', axis: 'vertical', at: 1400, to: 1000 })],
        rolls: [upright],
      }),
    ],
  ];
  it.each(tight.map(([expected, side]) => [expected.limit, expected, side] as const))(
    'SP14 says by how much the %s must give way',
    (_, expected, side) => {
      const outcome = plansFromSide(side, { layouts: 'one-way' });
      if (outcome.kind !== 'infeasible') throw new Error(outcome.kind);
      expect(outcome.relaxations.find(({ limit }) => limit === expected.limit)).toEqual(expected);
    },
  );

  it('SP14 each named limit suffices, and a millimeter less does not', () => {
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
      { numRuns: 150, seed: 14 },
    );
    expect(cases).toBeGreaterThan(20);
    expect([...seen].sort()).toEqual(
      expect.arrayContaining(['no-seam-area', 'printable-width', 'smallest-panel']),
    );
  });
});

import { describe, expect, it } from 'vitest';
import type { Relaxation } from '../../../core/seams/plan-relaxations.ts';
import type { PlanSide } from '../../../core/seams/plan-side.ts';
import { plansFromSide } from '../../../core/seams/planner.ts';
import { area, bodyLine, planSide, ROLL_60 } from '../../support/plan-sides.ts';

describe('a side without any plan', () => {
  it('names the no-seam area in the way and how far a seam must come into it', () => {
    // 1,830 mm of keep-clear from edge to edge; equalVertical are 1,504 wide, of which 1,439 are net between two laps.
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
    expect(outcome.equalVertical?.broken.map(({ limit }) => limit)).toContain('no-seam-area');
  });

  it('tells how far a locked seam must move', () => {
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
      { limit: 'body-gap', by: 3, to: 12 },
      planSide({
        width: 2780,
        height: 2600,
        noSeamAreas: clearBut(1388, 1410),
        lines: [bodyLine({ kind: 'body-gap', axis: 'vertical', at: 1400, to: 1000 })],
        rolls: [upright],
      }),
    ],
  ];
  it.each(tight.map(([expected, side]) => [expected.limit, expected, side] as const))(
    'says by how much the %s must give way',
    (_, expected, side) => {
      const outcome = plansFromSide(side, { layouts: 'one-way' });
      if (outcome.kind !== 'infeasible') throw new Error(outcome.kind);
      expect(outcome.relaxations.find(({ limit }) => limit === expected.limit)).toEqual(expected);
    },
  );
});

/**
 * Layouts that installers' handbooks teach (common practice, no source). The built-in cost card must produce them by
 * itself, for the plan of lowest cost; where it does not, the card is wrong.
 */
import { describe, expect, it } from 'vitest';
import { limitsBroken } from '../../../core/seams/plan-limits.ts';
import type { PlanSide } from '../../../core/seams/plan-side.ts';
import { type Plan, plansFromSide } from '../../../core/seams/planner.ts';
import {
  area,
  bodyLine,
  planSide,
  ROLL_54,
  ROLL_60,
  SHIFT_LAP,
  treeBrief,
  treeSeams,
} from '../../support/plan-sides.ts';

function cheapestPlan(side: PlanSide): Plan {
  const outcome = plansFromSide(side);
  if (outcome.kind !== 'plans') throw new Error(JSON.stringify(outcome));
  const plan = outcome.plans.find(({ id }) => id === 'lowest-cost')!;
  expect(limitsBroken(side, plan.stock, plan.tree)).toEqual([]);
  return plan;
}

const rivetRows = (count: number, to: number) =>
  Array.from({ length: count }, (_, i) =>
    bodyLine({ kind: 'rivet-row', axis: 'vertical', at: 1220 * (i + 1), to }),
  );

describe('handbook cases', () => {
  it('a van flank with a belt line and a sill line plans horizontal panels with seams on both', () => {
    const side = planSide({
      width: 6000,
      height: 2600,
      rolls: [ROLL_54],
      lines: [
        bodyLine({ kind: 'crease', axis: 'horizontal', at: 1152, to: 6000 }),
        bodyLine({ kind: 'molding', axis: 'horizontal', at: 2243, to: 6000 }),
      ],
    });
    expect(treeBrief(cheapestPlan(side).tree)).toBe('h 1152 2243');
  });

  it('a door beside a fender with a body gap plans vertical beside horizontal', () => {
    const side = planSide({
      width: 4300,
      height: 2050,
      lines: [
        bodyLine({ kind: 'body-gap', axis: 'vertical', at: 1270, to: 2050 }),
        bodyLine({ kind: 'crease', axis: 'horizontal', at: 985, from: 1270, to: 4300 }),
      ],
    });
    const plan = cheapestPlan(side);
    expect(treeBrief(plan.tree)).toBe('v 1270 [□ h 985]');
    expect(treeSeams(side, plan.tree)[0]?.joint.kind).toBe('gap');
  });

  it('SP27 a trailer with rivet rows every 1,220 mm plans upright panels with shift laps, beside the rows', () => {
    const side = planSide({
      width: 6100,
      height: 2100,
      longestPanel: 6000,
      rolls: [ROLL_60],
      laps: [SHIFT_LAP],
      lines: rivetRows(4, 2100),
    });
    const plan = cheapestPlan(side);
    const places = treeSeams(side, plan.tree).map(({ place }) => place.at);
    expect(places).toHaveLength(4);
    // The front part lies on top: 25 mm of the rear one are covered, behind the seam's line. Half an inch from half-inch heads.
    for (const at of places) {
      for (const row of [1220, 2440, 3660, 4880]) {
        expect(Math.min(Math.abs(at - row), Math.abs(at + 25 - row))).toBeGreaterThanOrEqual(19.05);
      }
    }
    expect(treeSeams(side, plan.tree).map(({ joint }) => joint.first + joint.second)).toEqual([
      90, 90, 90, 90,
    ]);
    expect(plan.figures.shopTrims).toBe(0);
  });

  it('SP27 a 53 ft trailer on 54 in film has fourteen upright panels, and no seam on a rivet', () => {
    const side = planSide({
      width: 16_154.4,
      height: 2700,
      rolls: [ROLL_54],
      laps: [SHIFT_LAP],
      lines: rivetRows(13, 2700),
    });
    const places = treeSeams(side, cheapestPlan(side).tree).map(({ place }) => place.at);
    expect(places).toHaveLength(13);
    for (const at of places) {
      for (const edge of [at, at + 25]) {
        const fromRow = Math.abs(edge - 1220 * Math.min(13, Math.max(1, Math.round(edge / 1220))));
        expect(fromRow).toBeGreaterThanOrEqual(19.05);
      }
    }
  });

  it('lettering wider than a roll plans a horizontal panel that holds it', () => {
    const title = area('title', 1310, 620, 4470, 480);
    const side = planSide({ width: 7200, height: 2300, noSeamAreas: [title] });
    const { tree } = cheapestPlan(side);
    expect(treeBrief(tree)).toMatch(/^h \d+$/);
    const [seam] = treeSeams(side, tree);
    expect(seam!.place.at).toBeGreaterThanOrEqual(620 + 480);
    // Across it no run of vertical seams exists: 4,470 mm is three drops wide.
    const upright = plansFromSide(
      { ...side, rolls: [{ ...ROLL_60, longest: 2500 }] },
      { layouts: 'one-way' },
    );
    expect(upright.kind).toBe('infeasible');
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { ELSEWHERE_MM } from '../../../core/seams/next-best-place.ts';
import { isDominated, planFigures, planUnits } from '../../../core/seams/plan-figures.ts';
import { limitsBroken } from '../../../core/seams/plan-limits.ts';
import { weightsFromAim } from '../../../core/seams/plan-objective.ts';
import { type JointShape, jointFromLap, type PlanSide } from '../../../core/seams/plan-side.ts';
import { AIM_FIGURE, type Plan, PlanCancelled, plansFromSide } from '../../../core/seams/planner.ts';
import { SeamReason } from '../../../core/seams/seam-reasons.ts';
import { seamPositions } from '../../../core/seams/slice-costs.ts';
import {
  area,
  bodyLine,
  lettering,
  planSide,
  ROLL_54,
  ROLL_60,
  SHIFT_LAP,
  treeBrief,
  treeSeams,
} from '../../support/plan-sides.ts';
import { randomSide } from '../../support/random-sides.ts';

function plansOf(side: PlanSide, layouts: 'sections' | 'one-way' = 'sections'): readonly Plan[] {
  const outcome = plansFromSide(side, { layouts });
  if (outcome.kind !== 'plans') throw new Error(JSON.stringify(outcome));
  return outcome.plans;
}

/** The bookmobile's body side with what is on it. */
const bookmobile = planSide({
  width: 7200,
  height: 2300,
  rolls: [ROLL_60, ROLL_54],
  lines: [
    bodyLine({ kind: 'crease', axis: 'horizontal', at: 1083.5, to: 7200 }),
    bodyLine({ kind: 'molding', axis: 'horizontal', at: 1874, to: 7200 }),
    bodyLine({ kind: 'body-gap', axis: 'vertical', at: 1415, to: 2300 }),
  ],
  noSeamAreas: [area('name', 2300, 420, 3100, 390)],
  lettering: [lettering('phone', 5900, 1500, 900, 130)],
  ground: [{ ...area('arch', 4800, 1700, 1100, 600), kind: 'curve' }],
  noFilmAreas: [{ ...area('window', 300, 350, 800, 640), margin: 20 }],
});

describe('proposed plans', () => {
  it('keep all limits, beat none of each other in every way, and look unlike', () => {
    const plans = plansOf(bookmobile);
    expect(plans.length).toBeGreaterThan(1);
    for (const plan of plans) {
      expect(limitsBroken(bookmobile, plan.stock, plan.tree)).toEqual([]);
      for (const other of plans) expect(isDominated(other.figures, plan.figures)).toBe(false);
    }
    const looks = plans.map(
      (plan) => `${plan.stock.roll.name} ${plan.stock.lap.name} ${treeBrief(plan.tree)}`,
    );
    expect(new Set(looks).size).toBe(plans.length);
  });

  it('each plan is the best of all at its aims', () => {
    const plans = plansOf(bookmobile);
    for (const plan of plans) {
      for (const aim of plan.aims) {
        for (const other of plans) {
          expect(AIM_FIGURE[aim](plan.figures)).toBeLessThanOrEqual(AIM_FIGURE[aim](other.figures) + 0.011);
        }
      }
    }
  });

  it('the same side gives the same plans', () => {
    const [first, second] = [plansOf(bookmobile), plansOf(structuredClone(bookmobile))];
    expect(second.map(({ tree }) => tree)).toEqual(first.map(({ tree }) => tree));
  });

  it('seams on a flat side are spread evenly', () => {
    const side = planSide({ width: 6600, height: 2300, rolls: [{ ...ROLL_60, longest: 3000 }] });
    const [plan] = plansOf(side, 'one-way');
    expect(treeBrief(plan!.tree)).toBe('v 1320 2640 3960 5280');
  });

  it('a locked seam stays, and its own joint with it', () => {
    const joint = { kind: 'lap', first: 31, second: 17, top: 'second' } as const;
    const side: PlanSide = {
      ...bookmobile,
      locked: [{ axis: 'vertical', at: 3017.25, from: 0, to: 2300, joint }],
    };
    for (const { tree } of plansOf(side)) {
      const kept = treeSeams(side, tree).filter(({ place }) => place.at === 3017.25);
      expect(kept.length).toBeGreaterThan(0);
      for (const seam of kept) expect(seam.joint).toMatchObject(joint);
    }
    // It crosses the no-seam area, which the operator who locked it has seen.
    expect(plansOf(side)[0]!.tree.kind).toBe('split');
  });

  it('SP6 a wide roll is taken where it saves a seam, a narrow one where it saves film', () => {
    const rolls = [ROLL_54, ROLL_60];
    const tall = planSide({ width: 5000, height: 1340, rolls });
    const one = plansOf(tall).find(({ aims }) => aims.includes('fewest-panels'))!;
    expect([one.tree.kind, one.stock.roll.name]).toEqual(['panel', '60 in']);
    const low = planSide({ width: 5000, height: 1190, rolls });
    const least = plansOf(low).find(({ aims }) => aims.includes('least-film'))!;
    expect([least.tree.kind, least.stock.roll.name]).toEqual(['panel', '54 in']);
  });

  it('figures add up from panels and seams, and money from figures', () => {
    for (const plan of plansOf(bookmobile)) {
      const { figures, reasons } = plan;
      expect(figures).toEqual(planFigures(bookmobile, plan.stock, plan.tree));
      expect(figures.panels).toBe(figures.seams + 1);
      const meters = treeSeams(bookmobile, plan.tree).reduce(
        (sum, { place }) => sum + place.to - place.from,
        0,
      );
      const { flat, curve, recess, open } = figures.seamMeters;
      expect(flat + curve + recess + open).toBeCloseTo(meters / 1000, 9);
      expect(figures.filmMoney).toBeCloseTo(figures.filmSquareMeters * 14, 9);
      expect(figures.laminateMoney).toBeCloseTo(figures.laminateSquareMeters * 9, 9);
      // 45 an hour.
      expect(figures.laborMoney).toBeCloseTo(
        (figures.installMinutes + figures.matchingMinutes + figures.shopMinutes) * 0.75,
        9,
      );
      expect(figures.money).toBeCloseTo(figures.filmMoney + figures.laminateMoney + figures.laborMoney, 9);
      expect(figures.visibleWorth).toBeCloseTo(
        reasons.reduce((sum, { money }) => sum + money.openView, 0),
        9,
      );
      expect(figures.wasteShare).toBeGreaterThan(0);
      expect(figures.wasteShare).toBeLessThan(1);
    }
  });

  it('two plans differ in money by what the objective says', () => {
    const plans = plansOf(bookmobile);
    const weights = weightsFromAim(bookmobile.card, 'lowest-cost');
    const offset = plans.map(
      ({ tree, stock, figures }) =>
        planUnits(bookmobile, stock, weights, tree)! / 1e6 - figures.money - figures.visibleWorth,
    );
    for (const value of offset) expect(value).toBeCloseTo(offset[0]!, 4);
  });
});

describe('replanning', () => {
  it('keeps the seams of the earlier plan after a small edit', () => {
    const side = planSide({ width: 7400, height: 2500, rolls: [{ ...ROLL_60, longest: 3000 }] });
    const before = plansOf(side, 'one-way')[0]!;
    const seams = treeSeams(side, before.tree).map(({ place }) => place.at);
    // A small area that only the second seam crosses: it moves just enough, the others stay.
    const edited: PlanSide = {
      ...side,
      noSeamAreas: [area('logo', seams[1]! - 30, 300, 70, 120)],
      earlier: treeSeams(side, before.tree).map(({ place }) => ({ axis: place.axis, at: place.at })),
    };
    const after = treeSeams(edited, plansOf(edited, 'one-way')[0]!.tree).map(({ place }) => place.at);
    expect(after).toHaveLength(seams.length);
    expect(after.filter((at) => !seams.includes(at))).toHaveLength(1);
  });

  it('moves a seam when that saves more than looking at it again costs', () => {
    const side = planSide({ width: 2600, height: 2500, rolls: [{ ...ROLL_60, longest: 3000 }] });
    const earlier = [{ axis: 'vertical' as const, at: 1290 }];
    const line = bodyLine({ kind: 'molding', axis: 'vertical', at: 1322, to: 2500 });
    const placed = (changed: Partial<PlanSide>) =>
      treeBrief(plansOf({ ...side, earlier, ...changed }, 'one-way')[0]!.tree);
    expect(placed({})).toBe('v 1290');
    expect(placed({ lines: [line] })).toBe('v 1322');
    const dear = { ...side.card, moveMinutesPerSeam: 1000 };
    expect(placed({ lines: [line], card: dear })).toBe('v 1290');
  });
});

describe('reasons', () => {
  it('say where a seam hides and add up its cost', () => {
    const plan = plansOf(bookmobile)[0]!;
    expect(plan.reasons).toHaveLength(plan.figures.seams);
    for (const reason of plan.reasons) {
      const { laying, picture, lettering, shopTrim, openView, lineSaved, total } = reason.money;
      expect(laying + picture + lettering + shopTrim + openView + lineSaved).toBeCloseTo(total, 9);
      expect(reason.hiddenShare).toBeGreaterThanOrEqual(0);
      expect(reason.hiddenShare).toBeLessThanOrEqual(1);
    }
  });

  it('name the line that a seam lies on, and what ending panels there saves', () => {
    const side = planSide({
      width: 4300,
      height: 2050,
      lines: [
        bodyLine({ kind: 'body-gap', axis: 'vertical', at: 1270, to: 2050 }),
        bodyLine({ kind: 'crease', axis: 'horizontal', at: 985, from: 1270, to: 4300 }),
      ],
    });
    const [gap, crease] = plansOf(side)[0]!.reasons;
    expect(gap!.lineIds).toEqual(['body-gap at 1270']);
    expect(gap!.onlineShare).toEqual({ 'body-gap': 1 });
    expect(gap!.money.lineSaved).toBeCloseTo(-2.05 * 8 * 0.75, 9);
    expect(crease!.lineIds).toEqual(['crease at 985']);
    expect(crease!.hiddenShare).toBeCloseTo(0.6, 9);
  });

  it('of a habit that breaks a limit name a place that keeps them, and no difference that cannot be', () => {
    // Five panels of 1,439 mm and a rest of 108 mm: less than the smallest panel, until the last seam moves.
    const outcome = plansFromSide(planSide({ width: 7203, height: 2300, front: 'left' }));
    if (outcome.kind !== 'plans') throw new Error(outcome.kind);
    const { broken, reasons } = outcome.equalVertical!;
    expect(broken.map(({ limit }) => limit)).toContain('smallest-panel');
    for (const { nextBest } of reasons) {
      if (nextBest?.extraMoney !== undefined) expect(Number.isFinite(nextBest.extraMoney)).toBe(true);
    }
    expect(reasons.some(({ nextBest }) => nextBest && nextBest.extraMoney === undefined)).toBe(true);
    expect(z.array(SeamReason).safeParse(JSON.parse(JSON.stringify(reasons))).success).toBe(true);
  });

  it('name the next best place: one seam on a side, every other place tried by hand', () => {
    const side = planSide({
      width: 2500,
      height: 1900,
      rolls: [{ ...ROLL_60, longest: 2200 }],
      lines: [
        bodyLine({ kind: 'molding', axis: 'vertical', at: 1180, to: 1900 }),
        bodyLine({ kind: 'crease', axis: 'vertical', at: 1290, to: 1600 }),
      ],
    });
    const plan = plansOf(side, 'one-way')[0]!;
    expect(treeBrief(plan.tree)).toBe('v 1180');
    const weights = weightsFromAim(side.card, 'lowest-cost');
    const unitsAt = (at: number) => {
      if (plan.tree.kind !== 'split') throw new Error('one seam expected');
      const tree = { ...plan.tree, joints: [{ ...plan.tree.joints[0]!, at }] };
      const isKept = limitsBroken(side, plan.stock, tree).length === 0;
      return isKept ? planUnits(side, plan.stock, weights, tree)! : Number.POSITIVE_INFINITY;
    };
    const places = Array.from({ length: 2499 }, (_, i) => i + 1).filter(
      (at) => Math.abs(at - 1180) >= ELSEWHERE_MM,
    );
    const least = Math.min(...places.map(unitsAt));
    const { nextBest } = plan.reasons[0]!;
    expect(nextBest?.at).toBe(1290);
    expect(nextBest?.extraMoney).toBeCloseTo((least - unitsAt(1180)) / 1e6, 6);
    const { hiddenShare, onlineShare, isLocked } = plan.reasons[0]!;
    expect(isLocked).toBe(false);
    expect(hiddenShare).toBeCloseTo(0.9, 9);
    expect(onlineShare).toEqual({ molding: 1 });
  });
});

describe('the next best place', () => {
  it('is the cheapest of all places, each judged as a whole layout', () => {
    const small = randomSide({ width: [90, 220], height: [60, 140], roll: [50, 130], linesEachWay: 2 });
    let places = 0;
    fc.assert(
      fc.property(small, (given) => {
        const side = { ...given, locked: [] };
        const outcome = plansFromSide(side);
        if (outcome.kind !== 'plans') return;
        const weights = weightsFromAim(side.card, 'lowest-cost');
        for (const { tree, stock, reasons } of outcome.plans) {
          if (tree.kind === 'panel') continue;
          const unitsOf = (index: number, joint: JointShape & { at: number }): number => {
            const moved = { ...tree, joints: tree.joints.map((old, i) => (i === index ? joint : old)) };
            const [low, high] = [moved.joints[index - 1]?.at ?? 0, moved.joints[index + 1]?.at ?? Infinity];
            if (joint.at <= low || joint.at >= high || limitsBroken(side, stock, moved).length > 0)
              return Infinity;
            return planUnits(side, stock, weights, moved)!;
          };
          const lap = jointFromLap(stock.lap, tree.axis, side.front);
          for (const [index, joint] of tree.joints.entries()) {
            const seam = reasons.find(
              ({ seam: { place } }) =>
                place.axis === tree.axis &&
                place.at === joint.at &&
                place.from === 0 &&
                place.to === (tree.axis === 'vertical' ? side.height : side.width),
            )!;
            const all = seamPositions(side, tree.axis);
            const least = Math.min(
              ...Array.from(
                all.filter((at) => Math.abs(at - joint.at) >= ELSEWHERE_MM),
                (at) => unitsOf(index, { ...lap, at }),
              ),
            );
            const { nextBest } = seam;
            if (least === Infinity) expect(nextBest).toBeUndefined();
            else {
              places++;
              expect(nextBest!.extraMoney).toBeCloseTo((least - unitsOf(index, joint)) / 1e6, 4);
            }
          }
        }
      }),
      { numRuns: 60, seed: 17 },
    );
    expect(places).toBeGreaterThan(20);
  });
});

describe('progress', () => {
  it('rises from 0 to 1', () => {
    const shares: number[] = [];
    plansFromSide(bookmobile, {
      onProgress: (share) => {
        shares.push(share);
        return undefined;
      },
    });
    expect(shares.length).toBeGreaterThan(50);
    expect(shares).toEqual(shares.toSorted((a, b) => a - b));
    expect([shares[0], shares.at(-1)]).toEqual([0, 1]);
  });

  it('can call the planning off, by an answer or by throwing', () => {
    let calls = 0;
    expect(() => plansFromSide(bookmobile, { onProgress: () => ++calls < 7 })).toThrow(PlanCancelled);
    expect(calls).toBe(7);
    const stop = new Error('the window was closed');
    const thrown = () => {
      throw stop;
    };
    expect(() => plansFromSide(bookmobile, { onProgress: thrown })).toThrow(stop);
  });

  it('hears that it is called off before each seam whose reasons it works out', () => {
    const shares: number[] = [];
    const outcome = plansFromSide(bookmobile, {
      onProgress: (share) => {
        shares.push(share);
        return undefined;
      },
    });
    if (outcome.kind !== 'plans') throw new Error(outcome.kind);
    const seams = [...outcome.plans, outcome.equalVertical!].reduce(
      (sum, { reasons }) => sum + reasons.length,
      0,
    );
    expect(seams).toBeGreaterThan(8);
    expect(shares.filter((share) => share >= 0.9 && share < 1).length).toBeGreaterThanOrEqual(seams);
  });
});

describe('bad input', () => {
  const bad: [string, Partial<PlanSide>, string][] = [
    ['a width that is no number', { width: Number.NaN }, 'bad-length'],
    ['a height of nothing', { height: 0 }, 'bad-length'],
    ['an endless side', { width: Number.POSITIVE_INFINITY }, 'bad-length'],
    ['a negative border', { border: -3 }, 'bad-length'],
    ['a lap that is no number', { laps: [{ name: 'odd', under: Number.NaN, over: 0 }] }, 'bad-length'],
    [
      'a line nowhere',
      { lines: [bodyLine({ kind: 'crease', axis: 'vertical', at: Number.NaN, to: 9 })] },
      'bad-length',
    ],
    ['no film', { rolls: [] }, 'no-film'],
    ['no lap', { laps: [] }, 'no-lap'],
    ['film that is all margin', { rolls: [{ ...ROLL_60, sideMargin: 760 }] }, 'film-too-narrow'],
    [
      'too many lines',
      {
        lines: Array.from({ length: 41 }, (_, i) =>
          bodyLine({ id: `row-${i}`, kind: 'rivet-row', axis: 'vertical', at: 100 + i, to: 90 }),
        ),
      },
      'too-many-lines',
    ],
  ];
  it.each(bad)('%s is refused in one sentence with a remedy', (_, given, code) => {
    const outcome = plansFromSide(planSide({ width: 3000, height: 1000, ...given }));
    if (outcome.kind !== 'problem') throw new Error(outcome.kind);
    expect(outcome.problem.code).toBe(code);
    expect(outcome.problem.message).toMatch(/^[A-Z][^.]*(?:\.\d[^.]*)*\.$/);
    expect(outcome.problem.remedy).toMatch(/\.$/);
  });

  it('no side of whatever size and content makes it throw', () => {
    fc.assert(
      fc.property(randomSide({ width: [4, 60], height: [3, 40], roll: [2, 30], linesEachWay: 3 }), (side) => {
        const outcome = plansFromSide({ ...side, laps: [...side.laps, SHIFT_LAP] });
        expect(['plans', 'infeasible', 'problem']).toContain(outcome.kind);
      }),
      { numRuns: 60, seed: 19 },
    );
  });
});

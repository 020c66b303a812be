import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pointsHull } from '../../../core/measure/outline.ts';
import type { Point, Rect } from '../../../core/measure/rect.ts';
import { limitsBroken } from '../../../core/seams/plan-limits.ts';
import { PLAN_AIMS, weightsFromAim } from '../../../core/seams/plan-objective.ts';
import type { PlanArea, PlanSide } from '../../../core/seams/plan-side.ts';
import { isTreeShaped } from '../../../core/seams/plan-tree.ts';
import type { SeamAxis } from '../../../core/seams/seam-place.ts';
import { isSectionFeasible } from '../../../core/seams/section-feasibility.ts';
import { sectionGround } from '../../../core/seams/section-ground.ts';
import { sectionSearch } from '../../../core/seams/section-search.ts';
import { bodyLine, planSide, shapedLine } from '../../support/plan-sides.ts';
import { onlyStock, randomCard } from '../../support/random-sides.ts';
import { leastSectionsByMip } from '../../support/section-mip.ts';
import { seriesRuns } from '../../support/series.ts';

const axes = fc.constantFrom('vertical' as const, 'horizontal' as const);
const kinds = fc.constantFrom('crease' as const, 'molding' as const, 'body-gap' as const);
/** Half of the searches are for what hides best, as layouts along lines do. */
const aims = fc.oneof(fc.constantFrom(...PLAN_AIMS), fc.constant('best-hidden' as const));

/** Corners around the middle of a box, each as far out as its share says. */
function outlinedArea(box: Rect<'finished'>, shares: readonly number[]) {
  const outline = shares.map((share, n): Point<'finished'> => {
    const turn = (2 * Math.PI * n) / shares.length;
    return {
      x: box.x + (box.width / 2) * (1 + share * Math.cos(turn)),
      y: box.y + (box.height / 2) * (1 + share * Math.sin(turn)),
    };
  });
  return { rect: pointsHull(outline), outline };
}

/** Sides of a few dozen millimeters, with one to three lines that slope less than 45°. */
const shapedSide = ({ hasOutlines }: { readonly hasOutlines: boolean }): fc.Arbitrary<PlanSide> =>
  fc
    .record({ width: fc.integer({ min: 20, max: 30 }), height: fc.integer({ min: 14, max: 22 }) })
    .chain((size) => {
      const length = (axis: SeamAxis) => (axis === 'vertical' ? size.width : size.height);
      const across = (axis: SeamAxis) => (axis === 'vertical' ? size.height : size.width);
      const rect = fc.record({
        x: fc.integer({ min: 0, max: size.width - 4 }),
        y: fc.integer({ min: 0, max: size.height - 4 }),
        width: fc.integer({ min: 2, max: 8 }),
        height: fc.integer({ min: 2, max: 8 }),
      });
      const turns = fc.array(fc.double({ min: 0.25, max: 1, noNaN: true }), { minLength: 3, maxLength: 6 });
      const areaShape: fc.Arbitrary<Pick<PlanArea, 'rect' | 'outline'>> = hasOutlines
        ? fc.tuple(rect, turns).map(([box, shares]) => outlinedArea(box, shares))
        : rect.map((box) => ({ rect: box }));
      const shaped = fc
        .record({
          axis: axes,
          kind: kinds,
          share: fc.double({ min: 0.25, max: 0.75, noNaN: true }),
          offs: fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 2, maxLength: 3 }),
          begin: fc.integer({ min: 0, max: 2 }),
        })
        .map(({ axis, kind, share, offs, begin }) => {
          const run = (across(axis) - begin) / (offs.length - 1);
          const path = offs.map((off, n) => ({
            along: begin + run * n,
            across: Math.round(share * length(axis)) + 0.217 + off * 0.23,
          }));
          return { axis, kind, path };
        });
      const straight = fc.record({ axis: axes, kind: kinds, half: fc.integer({ min: 8, max: 26 }) });
      return fc
        .record({
          front: fc.constantFrom('left' as const, 'right' as const),
          shaped: fc.array(shaped, { minLength: 2, maxLength: 3 }),
          straight: fc.array(straight, { maxLength: 1 }),
          noSeamAreas: fc.array(areaShape, { maxLength: 1 }),
          noFilmAreas: fc.array(areaShape, { maxLength: 1 }),
          ground: hasOutlines
            ? fc.array(areaShape, { maxLength: 1 })
            : fc.constant<Pick<PlanArea, 'rect' | 'outline'>[]>([]),
          bleed: fc.record({
            top: fc.integer({ min: 0, max: 2 }),
            right: fc.integer({ min: 0, max: 2 }),
            bottom: fc.integer({ min: 0, max: 2 }),
            left: fc.integer({ min: 0, max: 2 }),
          }),
          border: fc.integer({ min: 0, max: 1 }),
          roll: fc.integer({ min: 13, max: 19 }),
          lap: fc.record({ under: fc.integer({ min: 0, max: 2 }), over: fc.integer({ min: 0, max: 1 }) }),
          gapAllowance: fc.integer({ min: 0, max: 1 }),
          minPanel: fc.integer({ min: 2, max: 4 }),
          card: randomCard,
          visible: fc.integer({ min: 900, max: 9000 }),
        })
        .map(
          ({
            shaped: curves,
            straight: lines,
            noSeamAreas,
            noFilmAreas,
            ground,
            roll,
            lap,
            card,
            visible,
            ...rest
          }) =>
            planSide({
              ...size,
              ...rest,
              shapedLines: curves.map((line, n) => shapedLine({ id: `c${n}`, ...line })),
              lines: lines
                .map(({ half, ...line }) => ({ ...line, at: half / 2, to: across(line.axis) }))
                .filter(({ axis, at }) => at < length(axis) - 1)
                .map((line, n) => bodyLine({ ...line, id: `l${n}` })),
              noSeamAreas: noSeamAreas.map((area, n) => ({ id: `k${n}`, ...area })),
              noFilmAreas: noFilmAreas.map((area, n) => ({ id: `o${n}`, ...area, margin: 1 })),
              ground: ground.map((area, n) => ({ id: `g${n}`, ...area, kind: 'recess' as const })),
              rolls: [{ name: 'roll', width: roll + 1, sideMargin: 0.5, longest: 60 }],
              laps: [{ name: 'lap', ...lap }],
              card: {
                ...card,
                visibleSeamPerMeter: visible,
                twoPeopleFromMeters: 0.02,
                threePeopleFromMeters: 0.03,
              },
            }),
        );
    });

describe('lines with shape in the search', () => {
  it('layouts along them cost what HiGHS finds as the least', async () => {
    const { followed } = await agreements(shapedSide({ hasOutlines: false }), seriesRuns(40, 240, 21));
    expect(followed).toBeGreaterThanOrEqual(20);
  });

  it('layouts around areas with a closed outline cost what HiGHS finds as the least', async () => {
    const { followed, straight } = await agreements(
      shapedSide({ hasOutlines: true }),
      seriesRuns(20, 120, 34),
    );
    expect(Math.min(followed, straight)).toBeGreaterThanOrEqual(3);
  });
});

/** Searches random sides, holds each layout against the solver's, and counts them by kind. */
async function agreements(sides: fc.Arbitrary<PlanSide>, runs: ReturnType<typeof seriesRuns>) {
  const counts = { followed: 0, straight: 0, impossible: 0 };
  await fc.assert(
    fc.asyncProperty(sides, aims, async (side, aim) => {
      const stock = onlyStock(side);
      const weights = weightsFromAim(side.card, aim);
      const ground = sectionGround(side, stock, 'mixed');
      const plan = sectionSearch(ground, weights);
      const least = await leastSectionsByMip(side, stock, weights);
      expect(isSectionFeasible(ground)).toBe(plan !== undefined);
      if (!plan || least === undefined) {
        expect([plan?.units, least]).toEqual([undefined, undefined]);
        counts.impossible++;
        return;
      }
      expect(Math.abs(plan.units - least)).toBeLessThan(50 + 1e-7 * Math.abs(least));
      counts[isTreeShaped(plan.tree) ? 'followed' : 'straight']++;
      expect(limitsBroken(side, stock, plan.tree)).toEqual([]);
    }),
    runs,
  );
  return counts;
}

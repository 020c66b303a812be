/**
 * How fast seams are planned, how that grows, and whether independent solvers find anything better:
 * `npm run bench plan`. Times are medians of a few runs on one core, the first run left out.
 */
import fc from 'fast-check';
import { pictureEnergyFromBusy } from '../../core/seams/picture-energy.ts';
import { PLAN_AIMS, weightsFromAim } from '../../core/seams/plan-objective.ts';
import { LINE_KINDS, type PlanLine, type PlanSide, type SeamAxis } from '../../core/seams/plan-side.ts';
import { plansFromSide } from '../../core/seams/planner.ts';
import { sectionGround, sectionSearch, stripBooks } from '../../core/seams/section-search.ts';
import { numberStream } from '../support/lettered-art.ts';
import { letteringScore } from '../support/lettering-score.ts';
import { area, BODY_LAP, planSide, ROLL_54, ROLL_60 } from '../support/plan-sides.ts';
import { mediumSide, onlyStock, randomSide } from '../support/random-sides.ts';
import { leastRunByMip } from '../support/run-mip.ts';
import { leastMixedUnits, leastRunUnits } from '../support/seam-brute-force.ts';

const TRAILER_MM = 16_154.4;

export async function run(): Promise<void> {
  console.log('A side of given length with everything on it, seams to the millimetre.');
  const growth = [
    ...[4000, 8000, 12_000, TRAILER_MM].map((length) => ({ length, across: 12, along: 8, rolls: 1 })),
    ...[
      [0, 0],
      [4, 3],
      [8, 5],
      [16, 10],
    ].map(([across, along]) => ({
      length: TRAILER_MM,
      across: across!,
      along: along!,
      rolls: 1,
    })),
    ...[2, 3].map((rolls) => ({ length: TRAILER_MM, across: 12, along: 8, rolls })),
  ].map((size) => ({ ...size, ...times(crowdedSide(size)) }));
  console.log('length mm   lines    rolls   one run ms   one mixed optimum ms   all plans ms');
  for (const { length, across, along, rolls, singleRunMs, optimumMs, mixedMs } of growth) {
    console.log(
      `${String(Math.round(length)).padStart(9)}   ${`${across} × ${along}`.padEnd(7)}  ${rolls}   ` +
        `${singleRunMs.toFixed(1).padStart(12)}   ${optimumMs.toFixed(0).padStart(20)}   ${mixedMs.toFixed(0).padStart(12)}`,
    );
  }
  for (const ground of ['flat', 'graded', 'photo'] as const) {
    const { recall, precision, lines } = letteringScore(ground, 0, 8);
    console.log(
      `Lettering on a ${ground} ground: ${lines} lines, recall ${recall.toFixed(2)}, precision ${precision.toFixed(2)}`,
    );
  }
  const { cases, optimal } = await optimality();
  console.log(`Independent solvers found no better plan in ${optimal} of ${cases} random cases.`);

  const target = growth.find(
    ({ length, across, rolls }) => length === TRAILER_MM && across === 12 && rolls === 1,
  )!;
  console.log(
    JSON.stringify({
      singleRunMs: round(target.singleRunMs),
      mixedMs: round(target.mixedMs),
      optimalShare: optimal / cases,
    }),
  );
}

const round = (ms: number): number => Math.round(ms * 10) / 10;

function times(side: PlanSide): { singleRunMs: number; optimumMs: number; mixedMs: number } {
  const stock = onlyStock(side);
  const weights = weightsFromAim(side.card, 'lowest-cost');
  const singleRunMs = medianMs(9, () => {
    const books = stripBooks(side, stock);
    for (const scope of ['vertical', 'horizontal'] as const) {
      sectionSearch(sectionGround(side, stock, scope, books), weights);
    }
  });
  const optimumMs = medianMs(3, () => sectionSearch(sectionGround(side, stock, 'mixed'), weights));
  const mixedMs = medianMs(3, () => plansFromSide(side));
  return { singleRunMs, optimumMs, mixedMs };
}

function medianMs(runs: number, work: () => unknown): number {
  work();
  const taken = Array.from({ length: runs }, () => {
    const start = performance.now();
    work();
    return performance.now() - start;
  }).sort((a, b) => a - b);
  return taken[runs >> 1]!;
}

/** A long side with lines of every kind, areas of every kind and a picture in all of its lap bands. */
export function crowdedSide(size: {
  length: number;
  across: number;
  along: number;
  rolls: number;
}): PlanSide {
  const { length, across, along, rolls } = size;
  const height = 2700;
  const next = numberStream(41);
  const cell = 4;
  const [columns, rows] = [Math.ceil(length / cell), Math.ceil(height / cell)];
  const busy = Float32Array.from({ length: columns * rows }, () => next() ** 4);
  const lines = (axis: SeamAxis, count: number): PlanLine[] =>
    Array.from({ length: count }, (_, i) => ({
      id: `${axis} ${i}`,
      kind: LINE_KINDS[i % 4]!,
      axis,
      at: ((i + 0.7 + 0.5 * next()) * (axis === 'vertical' ? length : height)) / (count + 1),
      from: 0,
      to: axis === 'vertical' ? height : length,
      width: 1,
    }));
  const rects = (name: string, count: number, width: number, tall: number) =>
    Array.from({ length: count }, (_, i) =>
      area(`${name} ${i}`, next() * (length - width), next() * (height - tall), width, tall),
    );
  return planSide({
    width: length,
    height,
    lines: [...lines('vertical', across), ...lines('horizontal', along)],
    keepClear: rects('logo', 3, 700, 300),
    lettering: rects('line', 6, 900, 120),
    hardAreas: rects('recess', 4, 500, 400).map((one) => ({ ...one, kind: 'recess' as const })),
    openings: rects('window', 3, 600, 400).map((one) => ({ ...one, margin: 20 })),
    rolls: [ROLL_60, ROLL_54, { ...ROLL_54, name: '48 in', width: 1219.2 }].slice(0, rolls),
    laps: [BODY_LAP],
    energy: pictureEnergyFromBusy(busy, columns, rows, cell),
  });
}

/** Small sides against every layout written down, medium ones against a general solver. */
async function optimality(): Promise<{ cases: number; optimal: number }> {
  let cases = 0;
  let optimal = 0;
  const judge = (planned: number | undefined, least: number | undefined) => {
    cases++;
    const none = Number.POSITIVE_INFINITY;
    const [a, b] = [planned ?? none, least ?? none];
    if (a === b || a <= b + 50 + 1e-8 * Math.abs(b)) optimal++;
  };
  const small = { width: [8, 20], height: [6, 14], roll: [9, 18], linesEachWay: 2 } as const;
  const samples = fc.sample(fc.tuple(randomSide(small), fc.constantFrom(...PLAN_AIMS)), {
    numRuns: 2000,
    seed: 3,
  });
  for (const [index, [side, aim]] of samples.entries()) {
    const stock = onlyStock(side);
    const weights = weightsFromAim(side.card, aim);
    const scope = index % 5 === 0 ? 'mixed' : index % 2 === 0 ? 'vertical' : 'horizontal';
    const plan = sectionSearch(sectionGround(side, stock, scope), weights);
    const least =
      scope === 'mixed' ? leastMixedUnits(side, stock, weights) : leastRunUnits(side, stock, scope, weights);
    judge(plan?.units, least);
  }
  for (const [side, aim] of fc.sample(fc.tuple(mediumSide, fc.constantFrom(...PLAN_AIMS)), {
    numRuns: 40,
    seed: 4,
  })) {
    const stock = onlyStock(side);
    const weights = weightsFromAim(side.card, aim);
    const plan = sectionSearch(sectionGround(side, stock, 'vertical'), weights);
    judge(plan?.units, await leastRunByMip(side, stock, weights));
  }
  return { cases, optimal };
}

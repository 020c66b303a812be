/**
 * How fast seams are planned, how that grows, and whether independent solvers find anything better:
 * `npm run bench plan`. Times of the
 * first row are medians of a few runs, one to warm up left out; the others are single runs.
 */
import fc from 'fast-check';
import { pictureEnergyFromBusy } from '../../core/seams/picture-energy.ts';
import { PLAN_AIMS, weightsFromAim } from '../../core/seams/plan-objective.ts';
import { LINE_KINDS, type PlanLine, type PlanSide, type SeamAxis } from '../../core/seams/plan-side.ts';
import { plansFromSide } from '../../core/seams/planner.ts';
import { sectionGround, stripBooks } from '../../core/seams/section-ground.ts';
import { sectionSearch } from '../../core/seams/section-search.ts';
import { numberStream } from '../support/lettered-art.ts';
import { letteringScore } from '../support/lettering-score.ts';
import { area, BODY_LAP, planSide, ROLL_54, ROLL_60 } from '../support/plan-sides.ts';
import { mediumSide, onlyStock, randomSide } from '../support/random-sides.ts';
import { leastRunByMip } from '../support/run-mip.ts';
import { leastMixedUnits, leastRunUnits } from '../support/seam-brute-force.ts';

const TRAILER_MM = 16_154.4;

export async function run(): Promise<void> {
  console.log('A side of given length with everything on it, seams to the millimetre; all times in ms.');
  const target = { length: TRAILER_MM, across: 12, along: 8, rolls: 1 };
  const measured = times(crowdedSide(target), 5);
  console.log('length mm   lines     rolls   one run   one mixed optimum   all plans');
  printRow(target, measured);
  const others = [
    ...[4000, 8000, 12_000].map((length) => ({ ...target, length })),
    ...LINE_COUNTS.map(([across, along]) => ({ ...target, across, along })),
    ...[2, 3].map((rolls) => ({ ...target, rolls })),
  ];
  for (const size of others) printRow(size, times(crowdedSide(size), 1));

  for (const ground of ['flat', 'graded', 'photo'] as const) {
    const { recall, precision, lines } = letteringScore(ground, 0, 8);
    console.log(
      `Lettering on a ${ground} ground: ${lines} lines, recall ${recall.toFixed(2)}, precision ${precision.toFixed(2)}`,
    );
  }
  const { cases, optimal } = await optimality();
  console.log(`Independent solvers found no better plan in ${optimal} of ${cases} random cases.`);
  console.log(
    JSON.stringify({
      singleRunMs: round(measured.singleRunMs),
      mixedMs: round(measured.mixedMs),
      optimalShare: optimal / cases,
    }),
  );
}

const LINE_COUNTS = [
  [0, 0],
  [4, 3],
  [8, 5],
  [16, 10],
] as const;

interface Size {
  readonly length: number;
  readonly across: number;
  readonly along: number;
  readonly rolls: number;
}

interface Times {
  readonly singleRunMs: number;
  /** One aim, lap bands read anew. */
  readonly optimumMs: number;
  /** Everything an operator is shown: all aims, the habit, the reasons of every seam. */
  readonly mixedMs: number;
}

function printRow({ length, across, along, rolls }: Size, { singleRunMs, optimumMs, mixedMs }: Times): void {
  console.log(
    `${String(Math.round(length)).padStart(9)}   ${`${across} × ${along}`.padEnd(7)}   ${rolls}   ` +
      `${singleRunMs.toFixed(1).padStart(9)}   ${optimumMs.toFixed(0).padStart(17)}   ${mixedMs.toFixed(0).padStart(9)}`,
  );
}

const round = (ms: number): number => Math.round(ms * 10) / 10;

function times(side: PlanSide, runs: number): Times {
  const stock = onlyStock(side);
  const weights = weightsFromAim(side.card, 'lowest-cost');
  return {
    singleRunMs: medianMs(2 * runs + 1, () => {
      const books = stripBooks(side, stock);
      for (const scope of ['vertical', 'horizontal'] as const) {
        sectionSearch(sectionGround(side, stock, scope, books), weights);
      }
    }),
    optimumMs: medianMs(runs, () => sectionSearch(sectionGround(side, stock, 'mixed'), weights)),
    mixedMs: medianMs(runs, () => plansFromSide(side)),
  };
}

/** The median of some runs; with more than one, a first run that warms up is left out. */
function medianMs(runs: number, work: () => unknown): number {
  if (runs > 1) work();
  const taken = Array.from({ length: runs }, () => {
    const start = performance.now();
    work();
    return performance.now() - start;
  }).sort((a, b) => a - b);
  return taken[runs >> 1]!;
}

/** A long side with lines of every kind, areas of every kind and a picture in all of its lap bands. */
function crowdedSide(size: { length: number; across: number; along: number; rolls: number }): PlanSide {
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
    numRuns: 24,
    seed: 4,
  })) {
    const stock = onlyStock(side);
    const weights = weightsFromAim(side.card, aim);
    const plan = sectionSearch(sectionGround(side, stock, 'vertical'), weights);
    judge(plan?.units, await leastRunByMip(side, stock, weights));
  }
  return { cases, optimal };
}

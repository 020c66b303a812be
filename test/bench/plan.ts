/**
 * How fast seams are planned, how that grows, and whether independent solvers find anything better,
 * and how far photos of sides are off:
 * `npm run bench plan`. Times are CPU time of this process, so that other work on the machine does not count;
 * each is the median of a few runs, one to warm up left out, but for `first`, which is the very first.
 */
import fc from 'fast-check';
import { pictureEnergyFromBusy } from '../../core/seams/picture-energy.ts';
import { PLAN_AIMS, weightsFromAim } from '../../core/seams/plan-objective.ts';
import { HIDING_KINDS, LineKind, type PlanLine, type PlanSide } from '../../core/seams/plan-side.ts';
import type { PlanTree } from '../../core/seams/plan-tree.ts';
import { plansFromSide } from '../../core/seams/planner.ts';
import type { SeamAxis } from '../../core/seams/seam-place.ts';
import { sectionGround, stripBooks } from '../../core/seams/section-ground.ts';
import { sectionSearch } from '../../core/seams/section-search.ts';
import { numberStream } from '../support/lettered-art.ts';
import { LETTERING_WAYS, letteringScore } from '../support/lettering-score.ts';
import { photoErrors } from '../support/photo-scene.ts';
import { area, BODY_LAP, lettering, planSide, ROLL_54, ROLL_60, shapedLine } from '../support/plan-sides.ts';
import { mediumSide, onlyStock, randomSide } from '../support/random-sides.ts';
import { leastMixedUnits, leastSequenceUnits } from '../support/seam-brute-force.ts';
import { leastSequenceByMip } from '../support/sequence-mip.ts';

const TRAILER_MM = 16_154.4;
const RUNS = 3;
const RUNS_IN_TURN = 7;

export async function run(): Promise<void> {
  console.log('A side 2,700 mm high with lines, areas and a picture all over it, seams to the millimeter.');
  console.log(
    'CPU time in ms. One run: the best plain sequence of seams either way. One optimum: mixed sections at least cost.',
  );
  console.log(
    'All plans: every aim on every roll, the habit, the reasons of each seam; “first” is not warmed up.',
  );
  const target = { length: TRAILER_MM, across: 12, along: 8, rolls: 1, longest: 30_000 };
  const side = crowdedSide(target);
  const first = cpuMs(() => plansFromSide(side));
  const measured = times(side);
  console.log('length mm   lines     rolls   longest   one run   one optimum   all plans');
  printRow(target, measured);
  const others = [
    // With a short longest print, no panel lies along the side and seams are many.
    { ...target, longest: 2900 },
    ...[4000, 8000, 12_000].map((length) => ({ ...target, length })),
    ...LINE_COUNTS.map(([across, along]) => ({ ...target, across, along })),
    ...[2, 3].map((rolls) => ({ ...target, rolls })),
  ];
  for (const size of others) printRow(size, times(crowdedSide(size)));
  console.log(`All plans of the first row, not warmed up: ${first.toFixed(0)} ms.`);

  for (const way of LETTERING_WAYS) {
    for (const ground of ['flat', 'graded', 'photo'] as const) {
      const { recall, precision, lines } = await letteringScore(ground, 0, 6, way);
      console.log(
        `Lettering, ${way}, on a ${ground} ground: ${lines} lines, recall ${recall.toFixed(2)}, precision ${precision.toFixed(2)}`,
      );
    }
  }
  const seamed = crowdedSide({ ...target, longest: 2900 });
  const shaped = shapedSide(seamed);
  const plansShaped = plansFromSide(shaped);
  const followed = plansShaped.kind === 'plans' ? linesFollowed(plansShaped.plans[0]!.tree) : 0;
  const [shapedMs, straightMs] = mediansInTurn([
    () => plansFromSide(shaped),
    () => plansFromSide(seamed),
  ]) as [number, number];
  console.log(
    `Of the second row's lines ${shaped.shapedLines.length} slope and curve: all plans ${shapedMs.toFixed(0)} ms beside ${straightMs.toFixed(0)}; the plan of lowest cost follows ${followed} of them.`,
  );
  const errors = photoErrors();
  const { cases, optimal } = await optimality();
  console.log(`Independent solvers found no better plan in ${optimal} of ${cases} random cases.`);
  console.log(
    JSON.stringify({
      singleRunMs: round(measured.singleRunMs),
      mixedMs: round(measured.mixedMs),
      mixedFirstMs: round(first),
      oneOptimumMs: round(measured.optimumMs),
      optimalShare: optimal / cases,
      shapedOverMixed: Math.round((100 * shapedMs) / straightMs) / 100,
      homographyMedianError: Number(errors[errors.length >> 1]!.toFixed(6)),
    }),
  );
}

const LINE_COUNTS = [
  [0, 0],
  [4, 3],
  [8, 5],
  [16, 10],
  [24, 16],
] as const;

interface Size {
  readonly length: number;
  readonly across: number;
  readonly along: number;
  readonly rolls: number;
  readonly longest: number;
}

interface Times {
  /** The cheapest plain sequence of seams of either direction, with strips read again. */
  readonly singleRunMs: number;
  /** One aim over mixed sections, with strips read again. */
  readonly optimumMs: number;
  /** Everything an operator is shown: all aims on all rolls, the habit, the reasons of every seam. */
  readonly mixedMs: number;
}

function printRow(size: Size, { singleRunMs, optimumMs, mixedMs }: Times): void {
  const columns: [string | number, number][] = [
    [Math.round(size.length), 9],
    [`${size.across} × ${size.along}`, 10],
    [size.rolls, 6],
    [size.longest, 10],
    [singleRunMs.toFixed(1), 10],
    [optimumMs.toFixed(0), 14],
    [mixedMs.toFixed(0), 12],
  ];
  console.log(columns.map(([text, width]) => String(text).padStart(width)).join(''));
}

const round = (ms: number): number => Math.round(ms * 10) / 10;

function times(side: PlanSide): Times {
  const stock = onlyStock(side);
  const weights = weightsFromAim(side.card, 'lowest-cost');
  return {
    singleRunMs: medianMs(() => {
      const books = stripBooks(side, stock);
      for (const scope of ['vertical', 'horizontal'] as const) {
        sectionSearch(sectionGround(side, stock, scope, books), weights);
      }
    }),
    optimumMs: medianMs(() => sectionSearch(sectionGround(side, stock, 'mixed'), weights)),
    mixedMs: medianMs(() => plansFromSide(side)),
  };
}

/** Of several kinds of work, one after the other in each round, so that what slows the machine down slows all of them. */
function mediansInTurn(works: readonly (() => unknown)[]): readonly number[] {
  for (const work of works) work();
  const rounds = Array.from({ length: RUNS_IN_TURN }, () => works.map(cpuMs));
  return works.map((_, index) => {
    const taken = rounds.map((round) => round[index]!).sort((a, b) => a - b);
    return taken[RUNS_IN_TURN >> 1]!;
  });
}

function medianMs(work: () => unknown): number {
  work();
  const taken = Array.from({ length: RUNS }, () => cpuMs(work)).sort((a, b) => a - b);
  return taken[RUNS >> 1]!;
}

function cpuMs(work: () => unknown): number {
  const start = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(start);
  return (user + system) / 1000;
}

/** A long side with lines of every kind, areas of every kind and a picture in all of its lap bands. */
function crowdedSide({ length, across, along, rolls, longest }: Size): PlanSide {
  const height = 2700;
  const next = numberStream(41);
  const cell = 4;
  const [columns, rows] = [Math.ceil(length / cell), Math.ceil(height / cell)];
  const busy = Float32Array.from({ length: columns * rows }, () => next() ** 4);
  const lines = (axis: SeamAxis, count: number): PlanLine[] =>
    Array.from({ length: count }, (_, i) => ({
      id: `${axis} ${i}`,
      kind: LineKind.options[i % 4]!,
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
    noSeamAreas: rects('logo', 3, 700, 300),
    lettering: rects('line', 6, 900, 120).map(({ id, rect: r }) =>
      lettering(id, r.x, r.y, r.width, r.height),
    ),
    ground: rects('recess', 4, 500, 400).map((one) => ({ ...one, kind: 'recess' as const })),
    noFilmAreas: rects('window', 3, 600, 400).map((one) => ({ ...one, margin: 20 })),
    rolls: [ROLL_60, ROLL_54, { ...ROLL_54, name: '48 in', width: 1219.2 }]
      .slice(0, rolls)
      .map((roll) => ({ ...roll, longest })),
    laps: [BODY_LAP],
    energy: pictureEnergyFromBusy(busy, columns, rows, cell),
  });
}

const SHAPED_EACH_WAY = 6;

/** The same side, of whose lines six each way slope and curve, all of them places where sections may be parted. */
function shapedSide(side: PlanSide): PlanSide {
  const next = numberStream(43);
  const chosen = (['vertical', 'horizontal'] as const).flatMap((axis) =>
    side.lines.filter((line) => line.axis === axis).slice(0, SHAPED_EACH_WAY),
  );
  return {
    ...side,
    lines: side.lines.filter((line) => !chosen.includes(line)),
    shapedLines: chosen.map(({ id, axis, at, from, to }, index) => {
      const rise = 30 + 60 * next();
      const points = 9;
      const path = Array.from({ length: points }, (_, n) => {
        const share = n / (points - 1);
        return { along: from + (to - from) * share, across: at + rise * (share + share ** 2 - 1) };
      });
      return shapedLine({ id, axis, kind: HIDING_KINDS[index % 3]!, path });
    }),
  };
}

const linesFollowed = (tree: PlanTree): number =>
  tree.kind === 'panel'
    ? 0
    : tree.joints.filter(({ follows }) => follows !== undefined).length +
      tree.parts.reduce((sum, part) => sum + linesFollowed(part), 0);

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
      scope === 'mixed'
        ? leastMixedUnits(side, stock, weights)
        : leastSequenceUnits(side, stock, scope, weights);
    judge(plan?.units, least);
  }
  for (const [side, aim] of fc.sample(fc.tuple(mediumSide, fc.constantFrom(...PLAN_AIMS)), {
    numRuns: 24,
    seed: 4,
  })) {
    const stock = onlyStock(side);
    const weights = weightsFromAim(side.card, aim);
    const plan = sectionSearch(sectionGround(side, stock, 'vertical'), weights);
    judge(plan?.units, await leastSequenceByMip(side, stock, weights));
  }
  return { cases, optimal };
}

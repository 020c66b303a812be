import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { z } from 'zod';
import { CONTRACT } from '../../../core/contract/contract.ts';
import { wireText, wireValue } from '../../../core/contract/wire.ts';
import { jobFromJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { sharedRolls } from '../../../core/production/shared-rolls.ts';
import { RollPlan, rollPlan } from '../../../core/rolls/roll-plan.ts';
import { planAnswer } from '../../../core/seams/plan-answer.ts';
import { PlanFigures } from '../../../core/seams/plan-figures.ts';
import { LimitBroken } from '../../../core/seams/plan-limits.ts';
import { Relaxation } from '../../../core/seams/plan-relaxations.ts';
import { plansFromSide } from '../../../core/seams/planner.ts';
import { SeamReason } from '../../../core/seams/seam-reasons.ts';
import { metricJob } from '../../support/metric-job.ts';
import { narrowJob } from '../../support/narrow-job.ts';
import { randomSide } from '../../support/random-sides.ts';
import { rollCases } from '../../support/roll-plan-cases.ts';
import { jobClean } from '../findings/sample-findings.ts';
import { sidesArbitrary } from '../layout/arbitrary-layout.ts';

function demoJob(name: string): Job {
  const job = jobFromJson(
    readFileSync(new URL(`../../../assets/demo/${name}.job.json`, import.meta.url), 'utf8'),
  );
  if (!job.ok) throw new Error(job.problem.message);
  return job.value;
}

/** As the screens get it: through the desktop's bridge, and as text from the loopback host. */
function expectArrival(schema: z.ZodType, value: unknown): void {
  expect(schema.parse(structuredClone(value))).toEqual(value);
  const sent = wireValue(wireText(value));
  expect(schema.parse(sent)).toEqual(sent);
}

const production = (job: Job) => jobProduction(job, jobLayout(job));

function shared() {
  const jobs = [narrowJob('a', 'A-1'), narrowJob('b', 'B-2')];
  const rolls = sharedRolls(jobs.map((job) => ({ job, layouts: jobLayout(job) })));
  if (!rolls.ok) throw new Error(rolls.problem.message);
  return rolls.value;
}

function suggested() {
  const job = demoJob('outreach-trailer');
  const request = { job, side: job.sides[0]!, layouts: 'one-way', otherRollWidthsMm: [1370] } as const;
  return planAnswer(request, () => undefined);
}

const REPLIES = [
  ['production:derive', production(demoJob('outreach-trailer'))],
  ['production:derive', production(metricJob(demoJob('bookmobile')))],
  ['rolls:share', shared()],
  ['layout:suggest', suggested()],
] as const;

describe('what is derived for the screens', () => {
  it.each(REPLIES)('arrives as it was sent: %s', (verb, value) => {
    expectArrival(CONTRACT[verb].reply, value);
  });

  it.each(REPLIES)('is refused where any value in it is of another type: %s', (verb, value) => {
    const { reply } = CONTRACT[verb];
    const passed = mutants(value).filter(({ mutant }) => reply.safeParse(mutant).success);
    expect(passed.map(({ path }) => path)).toEqual([]);
  });

  it('arrives for the longest names and the largest feed error that a job may have', () => {
    const job = demoJob('outreach-trailer');
    const film = { ...job.film, name: 'N'.repeat(10_000) };
    const { film: _, ...settings } = job.production!;
    for (const feedErrorPercent of [-5, 5]) {
      const printer = { ...job.printer, feedErrorPercent };
      const extreme = { ...job, film, printer, number: 'J'.repeat(10_000), production: settings };
      expectArrival(CONTRACT['production:derive'].reply, production(extreme));
      const rolls = sharedRolls([{ job: extreme, layouts: jobLayout(extreme) }]);
      expectArrival(CONTRACT['rolls:share'].reply, rolls.ok && rolls.value);
    }
  });

  it('arrives for any layout and any rolls', () => {
    fc.assert(
      fc.property(sidesArbitrary, (side) => {
        expectArrival(CONTRACT['production:derive'].reply, production({ ...jobClean(), sides: [side] }));
      }),
      { numRuns: 6 },
    );
    fc.assert(
      fc.property(rollCases(7), ({ items, rolls, rules }) => {
        expectArrival(RollPlan, rollPlan(items, rolls, rules));
      }),
      { numRuns: 25 },
    );
  });

  it('arrives for any side that is planned, or that cannot be', () => {
    const sides = randomSide({ width: [4, 11], height: [3, 9], roll: [3, 8], linesEachWay: 2 });
    fc.assert(
      fc.property(sides, (side) => {
        const outcome = plansFromSide(side);
        if (outcome.kind === 'problem') return;
        const plans = outcome.kind === 'plans' ? outcome.plans : [];
        for (const { figures, reasons } of [
          ...plans,
          ...(outcome.equalVertical ? [outcome.equalVertical] : []),
        ]) {
          expectArrival(PlanFigures, figures);
          expectArrival(SeamReason.array(), reasons);
        }
        expectArrival(LimitBroken.array(), outcome.equalVertical?.broken ?? []);
        if (outcome.kind === 'infeasible') expectArrival(Relaxation.array(), outcome.relaxations);
      }),
      { numRuns: 60 },
    );
  });
});

interface Mutant {
  readonly path: string;
  readonly mutant: unknown;
}

/** The value once for each thing in it, with another type in its place. */
function mutants(value: unknown, path = ''): Mutant[] {
  const other = typeof value === 'string' ? 7 : 'text';
  const own: Mutant[] = value === undefined ? [] : [{ path, mutant: other }];
  if (Array.isArray(value)) {
    const [first, last] = [0, value.length - 1];
    const some = [...new Set([first, last])].filter((index) => index in value);
    return [
      ...own,
      ...some.flatMap((index) =>
        mutants(value[index], `${path}[${index}]`).map(({ path: at, mutant }) => ({
          path: at,
          mutant: value.with(index, mutant),
        })),
      ),
    ];
  }
  if (typeof value !== 'object' || value === null) return own;
  return [
    ...own,
    ...Object.entries(value).flatMap(([key, inner]) =>
      mutants(inner, `${path}.${key}`).map(({ path: at, mutant }) => ({
        path: at,
        mutant: { ...value, [key]: mutant },
      })),
    ),
  ];
}

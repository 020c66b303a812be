import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Job, Region, Side } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { seamLength } from '../../../core/layout/side-totals.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { planFigures } from '../../../core/seams/plan-figures.ts';
import { lapFromJob, planSideFromJob, rollFromJob } from '../../../core/seams/plan-from-job.ts';
import type { PlanTree } from '../../../core/seams/plan-tree.ts';
import { jobInstall } from '../../../core/seams/side-install.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { ESTIMATED_COST_CARD, panelHandlingMinutes } from '../../../core/shop/cost-card.ts';
import { smallJob } from '../../support/small-job.ts';
import { jobSample } from '../job/sample-job.ts';
import { sidesArbitrary } from '../layout/arbitrary-layout.ts';
import { testFonts } from '../sheets/fixture.ts';
import { textsOf } from '../sheets/sheet-checks.ts';

const installTime = (job: Job) => jobProduction(job, jobLayout(job)).estimates.installTime!;
const input = (job: Job, name: string) =>
  installTime(job).inputs.find((candidate) => candidate.name === name)!.value;

const treeOf = (region: Region): PlanTree =>
  region.kind === 'panel'
    ? { kind: 'panel' }
    : {
        kind: 'split',
        axis: region.seams,
        parts: region.parts.map(treeOf),
        joints: region.joints.map(({ kind, atMm: at, firstMm: first, secondMm: second, top }) => ({
          kind,
          at,
          first,
          second,
          top,
        })),
      };

/** As the planner would count the layout of a side, had it found it. */
function plannedFigures(job: Job, side: Side) {
  const stock = { roll: rollFromJob(job), lap: lapFromJob(job, {}) };
  return planFigures(planSideFromJob(job, side), stock, treeOf(side.layout));
}

/** On flat ground without lines, added up from the layout's own panels and seams. */
function minutesOnFlat(job: Job): number {
  const card = ESTIMATED_COST_CARD;
  return jobLayout(job)
    .flatMap((layout) => [
      ...layout.panels.flatMap(({ film, coveredAreaMm2 }) => [
        panelHandlingMinutes(card, film.width, film.height),
        (coveredAreaMm2 / 1e6) * 6,
      ]),
      ...layout.seams.map((seam) => {
        const spare = seam.top === 'first' ? seam.firstMm : seam.secondMm;
        const trim = seam.joint === 'lap' && spare > 0 ? 1.5 : 0;
        return (seamLength(layout, seam) / 1000) * (3 + trim);
      }),
    ])
    .reduce((sum, minutes) => sum + minutes, 0);
}

describe('the time that installing takes', () => {
  it('SP33 is the same in the planner and in the estimate, for any layout', () => {
    fc.assert(
      fc.property(sidesArbitrary, (side) => {
        const job = { ...jobSample(), sides: [side] };
        const planned = plannedFigures(job, side);
        const [estimated] = jobInstall(job, jobLayout(job))!;
        expect(estimated!.minutes).toBeCloseTo(planned.installMinutes, 9);
        expect(estimated).toMatchObject({ people: planned.people, longestFilm: planned.longestFilm });
        const flat = { ...side, bodyLines: [], ground: [] };
        const plain = { ...jobSample(), sides: [flat] };
        expect(jobInstall(plain, jobLayout(plain))![0]!.minutes).toBeCloseTo(minutesOnFlat(plain), 6);
      }),
      { numRuns: 50 },
    );
  });

  it('SP33 a worked example by hand', () => {
    // 3,100 × 1,300 mm with 50 mm of bleed and 30 mm of border; a seam at 1,330 with 15 mm under and 10 mm over it.
    const job = smallJob();
    const left = 10 + (1 * 0.5 * (50 + 1330 + 15 + 60 + (1400 + 60))) / 1000;
    const right = 10 + (1 * 0.5 * (10 + 1770 + 50 + 60 + (1400 + 60))) / 1000;
    const seam = 1.3 * (3 + 1.5);
    const surface = 3.1 * 1.3 * 6;
    expect(left).toBeCloseTo(11.4575, 9);
    expect(right).toBeCloseTo(11.675, 9);
    expect(installTime(job).value).toBeCloseTo(left + right + seam + surface, 9);
    expect(installTime(job).inputs.map(({ value }) => value)).toEqual([2, 1.89, 1, 1.3, 4.03]);
  });

  it('SP33 grows with length and people', () => {
    const inOne = smallJob({}, { kind: 'panel', id: 'p1' });
    // 3,100 mm of side, 100 of bleed, 60 of border: two people.
    expect(input(inOne, 'People for it')).toBe(2);
    expect(installTime(inOne).value).toBeCloseTo(10 + (2 * 0.5 * (3260 + 1460)) / 1000 + 3.1 * 1.3 * 6, 9);
    const shop = {
      ...ESTIMATED_COST_CARD,
      isEstimate: false,
      twoPeopleFromMeters: 5,
      threePeopleFromMeters: 9,
    };
    expect(input({ ...inOne, costCard: shop }, 'People for it')).toBe(1);
  });

  it('SP33 is not told of a reprint, whose panels must come off first', () => {
    const job = smallJob();
    const [layout] = jobLayout(job);
    const reprinted = { ...layout!, panels: layout!.panels.slice(0, 1) };
    expect(jobProduction(job, [reprinted]).estimates.installTime).toBeUndefined();
  });

  it('SP33 the install map says time and people', () => {
    const words = (job: Job) =>
      installMap(job, jobLayout(job), { fonts: testFonts() })
        .flatMap(textsOf)
        .map(({ text }) => text)
        .join(' ');
    // 53.2 minutes, and 38.9.
    expect(words(smallJob())).toContain('· 1 person · 1 h');
    const inOne = words(smallJob({}, { kind: 'panel', id: 'p1' }));
    expect(inOne).toContain('2 people · 1 h');
    expect(inOne).toContain('Sides in install order, 1 h in all');
    expect(inOne).toContain('LH-01 · 2 people');
  });
});

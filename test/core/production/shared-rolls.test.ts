import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { acknowledgementOf } from '../../../core/findings/layout/findings.ts';
import { jobFromJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { type SharedRolls, sharedRolls } from '../../../core/production/shared-rolls.ts';
import { rollPlanCheck } from '../../../core/rolls/roll-check.ts';
import { sharedRollPlan } from '../../../core/sheets/shared-roll-plan.ts';
import { SHEET_SIZES } from '../../../core/sheets/sheet-size.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { narrowJob } from '../../support/narrow-job.ts';
import { decodedCodes } from '../sheets/decoded-codes.ts';
import { testFonts } from '../sheets/fixture.ts';
import { expectTidySheet, textsOf } from '../sheets/sheet-checks.ts';

function demoJob(): Job {
  const path = new URL('../../../assets/demo/bookmobile.job.json', import.meta.url);
  const job = jobFromJson(readFileSync(path, 'utf8'));
  if (!job.ok) throw new Error(job.problem.message);
  return job.value;
}

type Options = Parameters<typeof sharedRolls>[1];
const laid = (jobs: readonly Job[], options?: Options) =>
  sharedRolls(
    jobs.map((job) => ({ job, layouts: jobLayout(job) })),
    options,
  );
const onFilm = (...jobs: Job[]) => laid(jobs);

function laidWell(jobs: readonly Job[], options?: Options): SharedRolls {
  const shared = laid(jobs, options);
  if (!shared.ok) throw new Error(shared.problem.message);
  return shared.value;
}

/** A wide panel over a tall one: some of the side fits the film only turned, some only upright. */
function mixedJob(id: string, number: string): Job {
  const job = narrowJob(id, number);
  const side = job.sides[0]!;
  const layout = {
    kind: 'split' as const,
    seams: 'horizontal' as const,
    joints: [{ id: 's1', kind: 'lap' as const, atMm: 700, firstMm: 10, secondMm: 15, top: 'first' as const }],
    parts: [
      { kind: 'panel' as const, id: 'p1' },
      {
        kind: 'split' as const,
        seams: 'vertical' as const,
        joints: [
          { id: 's2', kind: 'lap' as const, atMm: 700, firstMm: 15, secondMm: 10, top: 'second' as const },
        ],
        parts: [
          { kind: 'panel' as const, id: 'p2' },
          { kind: 'panel' as const, id: 'p3' },
        ],
      },
    ],
  };
  const artworkRect = { xMm: 5, yMm: 5, widthMm: 140, heightMm: 260 };
  return { ...job, sides: [{ ...side, artworkRect, layout }] };
}

describe('several jobs on one film', () => {
  it('RL18 lays them together, tells their panels apart, and uses less film than one after the other', () => {
    const jobs = [narrowJob('a', 'A-1'), narrowJob('b', 'B-2')];
    const shared = onFilm(...jobs);
    if (!shared.ok) throw new Error(shared.problem.message);
    const { items, rolls, rules, plan } = shared.value;
    expect(items.map(({ label }) => label).toSorted()).toEqual([
      'A-1 LH-01',
      'A-1 LH-02',
      'B-2 LH-01',
      'B-2 LH-02',
    ]);
    expect(plan.unplacedPanelIds).toEqual([]);
    // The check looks at any plan by itself: overlaps, margins, gaps, straight cuts, sides kept together.
    const { findings } = rollPlanCheck(items, rolls, rules, plan.placements);
    expect(findings.filter(({ severity }) => severity !== 'note')).toEqual([]);
    const alone = jobs.map((job) => jobProduction(job, jobLayout(job)).plan.filmUsedMm);
    expect(plan.filmUsedMm).toBeLessThan(alone[0]! + alone[1]!);
    const sides = Map.groupBy(plan.placements, ({ panelId }) => panelId.split('/')[0]);
    for (const places of sides.values()) expect(new Set(places.map(({ rollId }) => rollId)).size).toBe(1);
  });

  it('RL18 needs no more film for long jobs and short ones than they need one after the other', () => {
    const bookmobile = (id: string): Job => ({ ...demoJob(), id, number: id.toUpperCase() });
    const short = (id: string) =>
      narrowJob(id, id.toUpperCase(), { film: demoJob().film, printer: demoJob().printer });
    const jobs = [bookmobile('a'), short('b'), short('c'), bookmobile('d'), short('e'), short('f')];
    const long = [bookmobile('a'), bookmobile('d')].map((job) => laidWell([job]).plan.filmUsedMm);
    const shorts = laidWell(jobs.filter(({ id }) => 'bcef'.includes(id))).plan.filmUsedMm;
    const { plan } = laidWell(jobs);
    expect(plan.unplacedPanelIds).toEqual([]);
    expect(plan.filmUsedMm).toBeLessThanOrEqual(long[0]! + long[1]! + shorts);
  });

  it('RL18 refuses jobs on other film, on other widths, and a job named twice', () => {
    const job = narrowJob('a', 'A-1');
    const other = narrowJob('b', 'B-2', { film: { ...job.film, name: 'Another film' } });
    expect(onFilm(job, other)).toMatchObject({
      ok: false,
      problem: {
        code: 'rolls-film-differs',
        message: expect.stringContaining('Job B-2 cannot share rolls with A-1: film Another film'),
      },
    });
    const wide = narrowJob('b', 'B-2', {
      printer: { ...job.printer, rollWidthMm: job.printer.rollWidthMm + 80 },
    });
    expect(onFilm(job, wide)).toMatchObject({ problem: { code: 'rolls-film-differs' } });
    expect(onFilm(job, { ...job, number: 'A-1 again' })).toMatchObject({
      problem: { code: 'rolls-job-twice' },
    });
    expect(onFilm()).toMatchObject({ problem: { code: 'rolls-no-job' } });
  });

  it('RL18 forgets where panels were locked for one job alone', () => {
    const locked = [{ panelId: 'a/p1', rollId: 'roll-1', xMm: 10, yMm: 9000, turned: false }];
    const job = narrowJob('a', 'A-1', { production: { ...DEFAULT_PRODUCTION, locked } });
    const shared = onFilm(job, narrowJob('b', 'B-2'));
    expect(shared.ok && shared.value.plan.filmUsedMm).toBeLessThan(9000);
  });

  it('RL18 tells jobs of one number apart, and names the side that prints both ways with its job', () => {
    const { jobs, items } = laidWell([narrowJob('a', 'A-1'), narrowJob('b', 'A-1')]);
    expect(jobs.map(({ mark }) => mark)).toEqual(['A-1', 'A-1 (2)']);
    expect(new Set(items.map(({ label }) => label)).size).toBe(4);
    expect(jobs[1]!.panelIds).toEqual(['b/p1', 'b/p2']);

    // 2,400 wide by 700 high fits the film turned only, 700 by 2,400 upright only.
    const both = mixedJob('m', 'M-5');
    const { plan } = laidWell([narrowJob('a', 'A-1'), both]);
    expect(plan.unplacedPanelIds).toEqual([]);
    expect(plan.findings.map(({ code, message }) => [code, message.split(' print ')[0]])).toContainEqual([
      'roll-side-mixed-directions',
      'Panels of side M-5 LH',
    ]);
  });

  it('says who accepted a warning of a side in the job that it belongs to', () => {
    const both = mixedJob('m', 'M-5');
    const shared = laidWell([narrowJob('a', 'A-1'), both]);
    const [warning] = shared.jobs[1]!.findings;
    const sheetText = (job: Job) =>
      sharedRollPlan([narrowJob('a', 'A-1'), job], [shared], testFonts())
        .flatMap(textsOf)
        .map(({ text }) => text)
        .join(' ');
    expect(sheetText(both)).toContain('NOT ACKNOWLEDGED YET');
    const accepted = sheetText({ ...both, acknowledgements: [acknowledgementOf(warning!, 'Ada', 'seen.')] });
    expect(accepted).toContain('Acknowledged by Ada: seen.');
    expect(accepted).not.toContain('seen..');
    expect(accepted).not.toContain('NOT ACKNOWLEDGED YET');
  });

  it('keeps locked panels of any of the jobs in place and lays the rest around them', () => {
    const jobs = [narrowJob('a', 'A-1'), narrowJob('b', 'B-2')];
    const free = laidWell(jobs);
    const first = free.plan.placements.find(({ panelId }) => panelId === 'b/p2')!;
    const place = { ...first, yMm: 4321 };
    const { plan } = laidWell(jobs, { locked: [place] });
    expect(plan.placements.find(({ panelId }) => panelId === 'b/p2')).toEqual(place);
    expect(plan.placements).toHaveLength(4);
    expect(plan.findings.filter(({ severity }) => severity === 'stop')).toEqual([]);
    expect(plan.filmUsedMm).toBeGreaterThan(4321);
  });

  it('moves nothing where all panels have places, and measures what is there', () => {
    const jobs = [narrowJob('a', 'A-1'), narrowJob('b', 'B-2')];
    const free = laidWell(jobs);
    const kept = laidWell(jobs, { places: free.plan.placements });
    expect(kept.plan.placements).toEqual(free.plan.placements);
    expect(kept.plan.filmUsedMm).toBe(free.plan.filmUsedMm);
    expect(kept.plan.bound.areaMm2).toBeLessThanOrEqual(free.plan.bound.areaMm2 + 1e-6);

    const moved = free.plan.placements.map((place) =>
      place.panelId === 'a/p1' ? { ...place, yMm: 7000 } : place,
    );
    const { plan } = laidWell(jobs, { places: moved.filter(({ panelId }) => panelId !== 'b/p1') });
    expect(plan.filmUsedMm).toBeGreaterThan(7000);
    expect(plan.distancePercent).toBeGreaterThan(50);
    expect(plan.isShortest).toBe(false);
    expect(plan.unplacedPanelIds).toEqual(['b/p1']);
    expect(plan.findings.map(({ message }) => message)).toContain('B-2 LH-01 lies on no roll.');
  });

  it('tells how far it is, from nothing to all, and stops where it is told', () => {
    const jobs = ['a', 'b', 'c', 'd'].map((id) => narrowJob(id, id.toUpperCase()));
    const shares: number[] = [];
    laidWell(jobs, { look: (share) => shares.push(share) });
    expect(shares[0]).toBe(0);
    expect(shares).toEqual(shares.toSorted((a, b) => a - b));
    expect(shares.at(-1)).toBeGreaterThan(0.5);
    expect(shares.at(-1)).toBeLessThan(1);
    let looks = 0;
    const calledOff = new Error('called off');
    // Other jobs: a plan that was just made is not made again.
    const stopping = () =>
      laid(jobs.slice(1), {
        look() {
          if (++looks === 3) throw calledOff;
        },
      });
    expect(stopping).toThrow(calledOff);
    expect(looks).toBe(3);
  });

  it('the sheet of a shared plan names every panel with its job, and keeps texts apart', async () => {
    const jobs = [narrowJob('a', 'A-1'), narrowJob('b', 'B-2')] as const;
    const shared = onFilm(...jobs);
    if (!shared.ok) throw new Error(shared.problem.message);
    for (const sheet of ['A4', 'A3', 'Letter', 'Tabloid'] as const) {
      const first: Job = { ...jobs[0], output: { ...jobs[0].output, mapSheet: sheet } };
      const sheets = sharedRollPlan([first, jobs[1]], [shared.value], testFonts());
      for (const each of sheets) expectTidySheet(each, SHEET_SIZES[sheet].marginMm);
      const texts = sheets.flatMap(textsOf).map(({ text }) => text);
      for (const { label } of shared.value.items)
        expect(texts.filter((text) => text === label).length).toBe(2);
      const codes = (await Promise.all(sheets.map(decodedCodes))).flat();
      expect(codes).toHaveLength(sheets.length);
      for (const [n, code] of codes.entries())
        expect(code).toMatch(
          new RegExp(`^Job A-1 Nesting sheet ${n + 1} of ${sheets.length}( Layout \\w+)?$`),
        );
    }
  });

  it('gives each job its date, enlargement and feed, and says what sharing saves, or that it saves nothing', () => {
    const reduced = { kind: 'reduction', factor: 4 } as const;
    const { printer } = narrowJob('a', 'A-1');
    const long = { ...printer, feedErrorPercent: 0.2 };
    const a = narrowJob('a', 'A-1', { date: '2026-11-25', printer: long });
    const b = narrowJob('b', 'B-2', { date: '2026-12-04', printer: long });
    const second: Job = { ...b, output: { ...b.output, size: reduced } };
    const wordsOf = (...jobs: [Job, ...Job[]]) =>
      sharedRollPlan(jobs, [laidWell(jobs)], testFonts())
        .flatMap(textsOf)
        .map(({ text }) => text)
        .join(' ');
    const together = wordsOf(a, second);
    for (const said of [a.date, second.date, 'ENLARGE ×4', 'print at 100 %', '99.80 %', 'Size on roll'])
      expect(together).toContain(said);
    // Each narrow job leaves half of the film free, and the other lies in it.
    const figures = /Together (\S+ m) of film, one job after the other (\S+ m): sharing saves (\S+ m)\./.exec(
      together,
    )!;
    const [all, apart, saved] = figures.slice(1).map((text) => Number.parseFloat(text));
    expect(apart! - all!).toBeCloseTo(saved!, 2);
    expect(saved).toBeGreaterThan(0);
    expect(wordsOf(a)).toContain('sharing saves nothing here.');
  });

  it('tells in the title block of whom and what the sheet is, and in full at its end where there is no room', () => {
    const vehicles = (unitNumber: string): Job['vehicles'] => [
      { id: 'v1', kind: 'van', units: [{ unitNumber, licensePlate: '' }] },
    ];
    const bookmobile = narrowJob('a', 'A-1', { vehicles: vehicles('Bookmobile') });
    const trailer = narrowJob('b', 'B-2', {
      vehicles: vehicles('Outreach trailer'),
      customer: 'Friends of the Library',
    });
    const sheetsOf = (...jobs: [Job, ...Job[]]) => sharedRollPlan(jobs, [laidWell(jobs)], testFonts());
    const block = (field: string, ...jobs: [Job, ...Job[]]) =>
      textsOf(sheetsOf(...jobs)[0]!)
        .filter(({ tag }) => tag === `title block ${field}`)
        .map(({ text }) => text)
        .slice(1)
        .join(' ');
    expect(block('Customer', bookmobile, trailer)).toBe('Alder County Library and Friends of the Library');
    expect(block('Vehicle', bookmobile, trailer)).toBe('Bookmobile and Outreach trailer');
    expect(block('Number', bookmobile, trailer)).toBe('A-1 and 1 more');
    expect([block('Number', bookmobile), block('Vehicle', bookmobile)]).toEqual(['A-1', 'Bookmobile']);

    const many = ['b', 'c', 'd', 'e', 'f', 'g', 'h'].map((id) =>
      narrowJob(id, `N-${id}`, { vehicles: vehicles(`Book trailer ${id} of the county's east`) }),
    );
    const sheets = sheetsOf(bookmobile, ...many);
    for (const sheet of sheets) expectTidySheet(sheet, SHEET_SIZES[bookmobile.output.mapSheet].marginMm);
    const last = textsOf(sheets.at(-1)!)
      .map(({ text }) => text)
      .join(' ');
    for (const job of many) expect(last).toContain(job.vehicles[0]!.units[0]!.unitNumber);
  });
});

import { describe, expect, it } from 'vitest';
import { layoutFindings } from '../../../core/findings/layout/findings.ts';
import { layoutReplace, panelSplit, panelsDaySet, sideDaySet } from '../../../core/job/edits/edits.ts';
import { regionPanels } from '../../../core/job/region.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { clocksInTurn } from '../../../core/production/drying.ts';
import { keptActuals } from '../../../core/production/job-estimated.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { packedTubes } from '../../../core/production/packed-tubes.ts';
import { type StagedBatch, stagedClock } from '../../../core/production/staged-clock.ts';
import { week } from '../../../core/production/week.ts';
import { weekJob } from '../../../core/production/week-job.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { LABEL_SHEETS } from '../../../core/sheets/label-sheet.ts';
import { packingList } from '../../../core/sheets/packing-list.ts';
import { panelLabels } from '../../../core/sheets/panel-labels.ts';
import { ticket } from '../../../core/sheets/ticket.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { DEFAULT_WORKING_HOURS } from '../../../core/shop/working-hours.ts';
import { smallJob } from '../../support/small-job.ts';
import { testFonts } from '../sheets/fixture.ts';
import { textsOf } from '../sheets/sheet-checks.ts';

const order = {
  ...{ ink: 'uv-cured' as const, coveragePercent: 140, isLaminated: true, restHours: 3, transportHours: 1 },
  promised: undefined,
};
const firstDay = {
  ...{ day: 1, panels: 4, printEnd: '2026-11-23T10:05' },
  ...{ laminationMinutes: 50, trimMinutes: 20, packMinutes: 13 },
};
const secondDay = (printEnd: string) => ({
  ...{ day: 2, panels: 7, printEnd, laminationMinutes: 70, trimMinutes: 35, packMinutes: 17 },
});

/** Of a job with one film. */
function clockOf(
  given: Omit<typeof order, 'promised'> & { promised: string | undefined },
  batches: readonly StagedBatch[],
) {
  const orders = batches.map(({ day: _, panels: __, unitNumber: ___, ...times }) => ({ ...order, ...times }));
  const clocks = clocksInTurn(orders, DEFAULT_WORKING_HOURS);
  return stagedClock({ promised: given.promised }, batches, clocks, DEFAULT_WORKING_HOURS);
}

/** The right panel, which lies over the left one, is installed on the second day. */
function stagedJob(over: Partial<Job> = {}): Job {
  const set = panelsDaySet(smallJob(over), { sideId: 'left', panelIds: ['p2'], day: 2 });
  if (!set.ok) throw new Error(set.problem.message);
  return set.value;
}

describe('a job that is installed on several days', () => {
  /**
   * Day 1: off Mon 10:05, dry 12:05, laminated after lunch 12:45 to 13:35, rested 16:35 when the shop is closed, trimmed Tue
   * 7:30 to 7:50, packed to 8:03, there at 9:03. Day 2: off Mon 15:40, dry 17:40, laminated Tue 7:30 to 8:40, rested 11:40,
   * trimmed 20 min until noon and 15 from 12:45, packed 13:00 to 13:17, there at 14:17: in time for Wednesday.
   */
  it('gives each day its clock, and lets the first begin while the last panels are not ready', () => {
    const made = clockOf(order, [firstDay, secondDay('2026-11-23T15:40')]);
    expect(
      made.days!.map(({ dry, laminate, laminated, trim, pack, ready }) => [
        dry,
        laminate,
        laminated,
        trim,
        pack,
        ready,
      ]),
    ).toEqual([
      [
        '2026-11-23T12:05',
        '2026-11-23T12:45',
        '2026-11-23T13:35',
        '2026-11-24T07:30',
        '2026-11-24T07:50',
        '2026-11-24T09:03',
      ],
      [
        '2026-11-23T17:40',
        '2026-11-24T07:30',
        '2026-11-24T08:40',
        '2026-11-24T11:40',
        '2026-11-24T13:00',
        '2026-11-24T14:17',
      ],
    ]);
    expect([made.install, made.printEnd]).toEqual(['2026-11-24T09:03', '2026-11-23T15:40']);
  });

  /**
   * Day 2 off Wed 9:10: dry 11:10, laminated 50 min until noon and 20 from 12:45: 13:05; rested 16:05, trimmed 25 min and 10
   * on Thu: 7:40, packed 7:57, there at Thu 8:57. A first day on Tue or Wed would find no panels on the morning after.
   */
  it('begins so late that no later day waits for its panels', () => {
    const made = clockOf({ ...order, promised: '2026-11-25T12:30' }, [
      firstDay,
      secondDay('2026-11-25T09:10'),
    ]);
    expect([made.days![1]!.ready, made.install]).toEqual(['2026-11-26T08:57', '2026-11-26T07:30']);
    expect(made.findings.map(({ code }) => code)).toEqual(['dry-promised-too-early']);
  });

  it('PR17 gives each vehicle its clock where sets follow each other', () => {
    const set = (unitNumber: string, printEnd: string): StagedBatch => ({
      ...{ ...firstDay, unitNumber, printEnd },
    });
    const made = clockOf(order, [set('BM-07', '2026-11-23T05:30'), set('BM-08', '2026-11-23T06:10')]);
    expect(made.days).toBeUndefined();
    // Laminated Mon 7:30 to 8:20 and on to 9:10, rested 11:20 and 12:10; trimmed 11:20 to 11:40, packed to 11:53, there at
    // 12:53; the second one trimmed after lunch, 12:45 to 13:05, packed to 13:18, there at 14:18.
    expect(
      made.sets?.map(({ unitNumber, laminate, trim, ready }) => [unitNumber, laminate, trim, ready]),
    ).toEqual([
      ['BM-07', '2026-11-23T07:30', '2026-11-23T11:20', '2026-11-23T12:53'],
      ['BM-08', '2026-11-23T08:20', '2026-11-23T12:45', '2026-11-23T14:18'],
    ]);
    expect([made.laminate, made.laminated, made.install]).toEqual([
      ...['2026-11-23T07:30', '2026-11-23T09:10', '2026-11-23T14:18'],
    ]);
  });

  it('laminates one day after the other', () => {
    const days = [firstDay, secondDay('2026-11-23T10:20')];
    const made = clockOf(order, days);
    expect(made.days!.map(({ laminate, laminated }) => [laminate, laminated])).toEqual([
      ['2026-11-23T12:45', '2026-11-23T13:35'],
      ['2026-11-23T13:35', '2026-11-23T14:45'],
    ]);
  });

  it('keeps the day of a panel where it is split or laid out otherwise, and that of a side for all its panels', () => {
    const job = stagedJob();
    const days = (of: Job) => regionPanels(of.sides[0]!.layout).map(({ installDay = 1 }) => installDay);
    const split = panelSplit(job, { sideId: 'left', panelId: 'p2', seams: 'vertical', atMm: 2200 });
    if (!split.ok) throw new Error(split.problem.message);
    expect(days(split.value)).toEqual([1, 2, 2]);
    const back = layoutReplace(job, { sideId: 'left', layout: smallJob().sides[0]!.layout });
    expect(back.ok && days(back.value)).toEqual([1, 2]);
    const all = sideDaySet(job, { sideId: 'left', day: 3 });
    if (!all.ok) throw new Error(all.problem.message);
    expect([all.value.sides[0]!.installDay, regionPanels(all.value.sides[0]!.layout)]).toEqual([
      3,
      regionPanels(smallJob().sides[0]!.layout),
    ]);
    expect(jobLayout(all.value)[0]!.panels.map(({ installDay }) => installDay)).toEqual([3, 3]);
    expect(sideDaySet(all.value, { sideId: 'left', day: 1 })).toMatchObject({ ok: true, value: smallJob() });
    expect(panelsDaySet(job, { sideId: 'left', panelIds: ['p9'], day: 2 }).ok).toBe(false);
  });

  it('STG4 warns where a panel comes before the one that it lies over', () => {
    const codes = (job: Job) =>
      layoutFindings(job, jobLayout(job)).filter(({ code }) => code === 'panel-day-before-covered');
    expect(codes(stagedJob())).toEqual([]);
    const wrong = panelsDaySet(smallJob(), { sideId: 'left', panelIds: ['p1'], day: 2 });
    if (!wrong.ok) throw new Error(wrong.problem.message);
    expect(codes(wrong.value).map(({ message }) => message)).toEqual([
      'Panel LH-02 lies over LH-01, and is installed on day 1, before it: LH-01 comes on day 2.',
    ]);
  });

  it('tells the day on map, ticket, labels and packing list, winds a tube for each, and shows both in the week', () => {
    const laminate = {
      id: 'c',
      use: 'laminate',
      name: 'Clear',
      kind: 'cast',
      finish: 'gloss',
      thicknessUm: 50,
    } as const;
    const production = {
      ...{ ...DEFAULT_PRODUCTION, ink: 'uv-cured' as const, printStart: '2026-11-23T08:05' },
      laminate: {
        ...laminate,
        adhesive: 'acrylic',
        serviceYears: 7,
        widthMm: 1372,
        lengthMm: 45_000,
        pricePerM2: 8,
        lotNumber: '',
      },
      ...{ meanCoveragePercent: 90, worstCoveragePercent: 120 },
    };
    const job = stagedJob({ production });
    const layouts = jobLayout(job);
    const made = jobProduction(job, layouts);
    const fonts = testFonts();
    const text = (sheets: readonly Parameters<typeof textsOf>[0][]) =>
      sheets
        .flatMap(textsOf)
        .map((each) => each.text)
        .join('\n');
    expect(text(ticket(job, layouts, made, { fonts, findings: [] }))).toMatch(
      /Install days: print and laminate in this order/,
    );
    expect(text(ticket(job, layouts, made, { fonts, findings: [] }))).toContain('LH-02 · day 2');
    expect(text(installMap(job, layouts, { fonts }))).toContain('day 2');
    expect(text(packingList(job, layouts, { fonts }))).toContain('LH-02 · day 2');
    expect(text(panelLabels(job, layouts, { fonts, sheet: LABEL_SHEETS['a4-2x4'] }))).toContain(
      'Install day 2',
    );
    expect(
      packedTubes(job, layouts).map(({ outermostFirst }) => outermostFirst.map(({ label }) => label)),
    ).toEqual([['LH-01'], ['LH-02']]);
    const shop = {
      laminators: 1,
      bays: 1,
      workingHours: DEFAULT_WORKING_HOURS,
      dateOrder: 'year-first' as const,
    };
    const { lanes, problems } = week([weekJob(job, made)], { ...shop, now: '2026-11-23T07:00' });
    expect(problems).toEqual([]);
    expect(lanes[1]!.bars.map(({ day, from }) => [day, from])).toEqual(
      made.clock!.days!.map(({ day, laminate }) => [day, laminate]),
    );
    // The laminator is begun for each day, and what is kept beside the truth says so.
    const kept = keptActuals(job, layouts, made, { reprints: [] }, { enteredOn: '2026-12-01' });
    expect(kept.ok && kept.value.estimated).toMatchObject({ rolls: 1, laminations: 2 });
    expect(made.estimates.laminate!.value).toBeGreaterThan(
      jobProduction(smallJob({ production }), jobLayout(smallJob({ production }))).estimates.laminate!.value,
    );
  });
});

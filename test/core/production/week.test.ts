import { describe, expect, it } from 'vitest';
import { jobWithMove } from '../../../core/job/edits/week-move.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { spanText, week } from '../../../core/production/week.ts';
import { type WeekJob, weekJob } from '../../../core/production/week-job.ts';
import { DEFAULT_PRODUCTION, type ProductionSettings } from '../../../core/shop/production-settings.ts';
import type { ShopFigures } from '../../../core/shop/shop-figures.ts';
import { DEFAULT_WORKING_HOURS } from '../../../core/shop/working-hours.ts';
import { smallJob } from '../../support/small-job.ts';

/** Monday to Friday 7:30 to 12:00 and 12:45 to 16:30, 495 minutes a day; Thursday, November 26, 2026 is a holiday. */
const workingHours = { ...DEFAULT_WORKING_HOURS, closed: ['2026-11-26'] };
const LAMINATE: ProductionSettings['laminate'] = {
  ...{ id: 'clear', use: 'laminate', name: 'Clear cast', kind: 'cast', finish: 'gloss', thicknessUm: 50 },
  ...{ adhesive: 'solvent acrylic', serviceYears: 7, widthMm: 1372, lengthMm: 45_000, pricePerM2: 8 },
  lotNumber: 'L3',
};

/** Speeds so high that a roll takes what setting it up takes, and a hundredth of a minute. */
const planned = (
  number: string,
  settings: Partial<ProductionSettings>,
  figures: Partial<ShopFigures>,
  installMinutes: number,
  offPrinter?: string,
): WeekJob => {
  const production: ProductionSettings = {
    ...DEFAULT_PRODUCTION,
    ...{ workingHours, laminate: LAMINATE, worstCoveragePercent: 180, meanCoveragePercent: 90 },
    ...settings,
    figures: {
      ...DEFAULT_PRODUCTION.figures,
      ...{ printM2PerHour: 100_000, laminationMetersPerHour: 100_000, ...figures },
    },
  };
  const printer = { ...smallJob().printer, name: number === 'BM-4' ? 'Narrow' : 'Wide' };
  const job: Job = { ...smallJob({ id: number, number, production }), printer };
  const made = jobProduction(job, jobLayout(job));
  const { installTime } = made.estimates;
  const estimates = { ...made.estimates, installTime: { ...installTime!, value: installMinutes } };
  return weekJob(job, { ...made, estimates }, offPrinter === undefined ? undefined : { offPrinter });
};

/**
 * BM-1 begins Mon 15:00 and prints 205 min and a fraction, on into the evening: Mon 18:26. Eco-solvent at 180 % dries 24 h:
 * Tue 18:26, so people laminate it Wed 7:30, 65 min and a fraction: Wed 8:36. It rests 19 h, until Thu 3:36; Thursday is
 * closed, so it is trimmed Fri 7:30, 2 × 11 min, packed 2 × 17 min until 8:26, and 3 h on the road: Fri 11:26. Two people
 * install 540 min in 270: 34 until noon, 225 until 16:30, and 11 on Mon the 30th, 7:41.
 */
const first = () =>
  planned(
    'BM-1',
    { printStart: '2026-11-23T15:00', promised: '2026-11-27T11:00', restHours: 19, transportHours: 3 },
    { printSetupMinutes: 205, laminationSetupMinutes: 65, trimMinutesPerPanel: 11, packMinutesPerPanel: 17 },
    540,
  );

/**
 * BM-2 begins Mon 16:00 on the same printer, 47 min and a fraction: 16:48. UV-cured ink is ready in 2 h, 18:48: laminated
 * Tue 7:30 for 130 min and a fraction: 9:41. Rest 4 h: 13:41, trim 2 × 13 min, pack 2 × 8 min: 14:23. It is promised for
 * Wed 7:30, and three people install 300 min in 100: 9:10.
 */
const second = (over: Partial<ProductionSettings> = {}) =>
  planned(
    'BM-2',
    {
      ...{ printStart: '2026-11-23T16:00', promised: '2026-11-25T07:30', ink: 'uv-cured' },
      ...{ restHours: 4, transportHours: 0, ...over },
    },
    {
      ...{ printSetupMinutes: 47, laminationSetupMinutes: 130, installers: 3 },
      ...{ trimMinutesPerPanel: 13, packMinutesPerPanel: 8 },
    },
    300,
  );

/**
 * BM-3 came off the printer Tue 6:10, whatever was planned. UV-cured: 8:10, laminated for 37 min and a fraction: 8:48. Rest
 * 1 h, trim 2 × 3 min, pack 2 × 5 min: 10:04. The shop means to install it Wed 8:20, two people 400 min in 200: 11:40.
 */
const third = (over: Partial<ProductionSettings> = {}) =>
  planned(
    'BM-3',
    {
      ...{ printStart: '2026-11-23T16:10', installStart: '2026-11-25T08:20', ink: 'uv-cured' },
      ...{ restHours: 1, transportHours: 0, ...over },
    },
    {
      ...{ printSetupMinutes: 31, laminationSetupMinutes: 37 },
      ...{ trimMinutesPerPanel: 3, packMinutesPerPanel: 5 },
    },
    400,
    '2026-11-24T06:10',
  );
const waiting = () => planned('BM-4', { promised: '2026-12-03T09:00' }, { printSetupMinutes: 53 }, 220);

const shop = {
  ...{ laminators: 1, bays: 1, workingHours, dateOrder: 'year-first' as const },
  now: '2026-11-23T09:00',
};
const lines = (made: ReturnType<typeof week>) =>
  made.lanes.map(({ name, bars }) => [
    name,
    ...bars.map(({ number, from, to }) => `${number} ${from.slice(8)} ${to.slice(8)}`),
  ]);

describe('the week of the shop', () => {
  it('agrees with a week that was worked by hand: nights, drying, a holiday, people', () => {
    const made = week([first(), second(), third(), waiting()], shop);
    expect(lines(made)).toEqual([
      ['Wide', 'BM-1 23T15:00 23T18:26', 'BM-2 23T16:00 23T16:48', 'BM-3 23T16:10 24T06:10'],
      ['Laminator', 'BM-2 24T07:30 24T09:41', 'BM-3 24T08:10 24T08:48', 'BM-1 25T07:30 25T08:36'],
      ['Bay', 'BM-2 25T07:30 25T09:10', 'BM-3 25T08:20 25T11:40', 'BM-1 27T11:26 30T07:41'],
    ]);
    expect(made.waiting.map(({ number, printer }) => [number, printer])).toEqual([['BM-4', 'Narrow']]);
  });

  it('WEEK3 tells only what breaks: each overlap once with what would mend it, and the promise that cannot be kept', () => {
    const { problems } = week([first(), second(), third(), waiting()], shop);
    expect(problems.map(({ code, jobId, step, start }) => [code, jobId, step, start])).toEqual([
      ['promise', 'BM-1', 'install', undefined],
      ['overlap', 'BM-2', 'print', '2026-11-24T07:30'],
      ['overlap', 'BM-3', 'laminate', '2026-11-24T09:41'],
      ['overlap', 'BM-3', 'install', '2026-11-25T09:10'],
    ]);
    expect(problems.map(({ message }) => message)).toEqual([
      'Installation of BM-1 is promised for Fri 2026-11-27, 11:00, and can begin at Fri 2026-11-27, 11:26 at the earliest.',
      'Wide: BM-1 and BM-2 overlap by 48 min.',
      'Laminator: BM-2 and BM-3 overlap by 38 min.',
      'Bay: BM-2 and BM-3 overlap by 50 min.',
    ]);
    expect(week([second(), waiting()], shop).problems).toEqual([]);
  });

  it('WEEK4 lays jobs in bays that are free, and leaves one where somebody put it', () => {
    const bays = (jobs: WeekJob[]) =>
      week(jobs, { ...shop, bays: 2 })
        .lanes.filter(({ kind }) => kind === 'bay')
        .map(({ name, bars }) => [name, ...bars.map(({ number }) => number)]);
    expect(bays([second(), third()])).toEqual([
      ['Bay 1', 'BM-2'],
      ['Bay 2', 'BM-3'],
    ]);
    expect(bays([second({ bay: 2 }), third({ bay: 2 })])).toEqual([['Bay 1'], ['Bay 2', 'BM-2', 'BM-3']]);
    expect(bays([second({ bay: 4 }), third()]).at(-1)).toEqual(['Bay 4', 'BM-2']);
  });

  it('begins nothing before it is ready, and says so of a start that is too early', () => {
    const early = second({ laminateStart: '2026-11-23T17:05', installStart: '2026-11-24T08:05' });
    const { problems, lanes } = week([early], shop);
    expect(problems.map(({ code, step, start }) => [code, step, start])).toEqual([
      ['too-early', 'laminate', '2026-11-24T07:30'],
      ['too-early', 'install', '2026-11-24T14:23'],
    ]);
    expect(lanes.at(-1)!.bars[0]).toMatchObject({ from: '2026-11-24T14:23', planned: '2026-11-24T08:05' });
    // A later start holds all that follows: laminated Wed 13:00 to 15:11, rested 19:11, trimmed Fri 7:30, packed 8:12.
    const later = week([second({ laminateStart: '2026-11-25T13:00' })], shop);
    expect(lines(later).slice(1)).toEqual([
      ['Laminator', 'BM-2 25T13:00 25T15:11'],
      ['Bay', 'BM-2 27T08:12 27T09:52'],
    ]);
    expect(later.problems.map(({ code }) => code)).toEqual(['promise']);
  });

  it('says what was to be printed by now and was not', () => {
    const late = week([first(), third()], { ...shop, now: '2026-11-23T18:27' });
    expect(late.problems.map(({ code, jobId }) => [code, jobId])).toContainEqual(['late', 'BM-1']);
    expect(late.problems.filter(({ code, jobId }) => code === 'late' && jobId === 'BM-3')).toEqual([]);
  });

  it('keeps a start in the job: of a film, of lamination, of a bay', () => {
    const job = smallJob();
    const printed = jobWithMove(job, { step: 'print', start: '2026-11-24T10:15' });
    expect(printed.production?.printStart).toBe('2026-11-24T10:15');
    const all = [
      { step: 'laminate', start: '2026-11-25T11:30' } as const,
      { step: 'install', start: '2026-11-27T08:45', bay: 3 } as const,
    ].reduce(jobWithMove, printed);
    expect(all.production).toMatchObject({
      ...{ printStart: '2026-11-24T10:15', laminateStart: '2026-11-25T11:30' },
      ...{ installStart: '2026-11-27T08:45', bay: 3 },
    });
    const cleared = [
      { step: 'install', start: null, bay: null } as const,
      { step: 'laminate', start: null } as const,
    ].reduce(jobWithMove, all);
    expect(cleared).toEqual(printed);
  });

  it('WEEK3 writes how long an overlap is', () => {
    expect([48, 60, 125, 0.4].map(spanText)).toEqual(['48 min', '1 h', '2 h 5 min', '1 min']);
  });
});

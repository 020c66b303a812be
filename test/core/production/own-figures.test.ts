import { describe, expect, it } from 'vitest';
import { shopDefaults } from '../../../core/job/shop-defaults.ts';
import { robust } from '../../../core/measure/robust.ts';
import type { JobActuals, JobTook } from '../../../core/output/job-actuals.ts';
import { codeNumbers } from '../../../core/output/scanned-code.ts';
import { figureInUse, ownFigures, shopWithFigure } from '../../../core/production/own-figures.ts';
import { reportTables, shopReports } from '../../../core/production/reports.ts';

const US_SHOP = shopDefaults('en-US');

const estimated: JobTook['estimated'] = {
  filmM: 40,
  panels: 12,
  rolls: 2,
  filmPassedM2: 52,
  laminateM: 38,
  surfaceM2: 45,
  minutes: { printing: 250, lamination: 68, trimming: 48, packing: 36, installing: 600 },
  printSetupMinutes: 15,
  laminationSetupMinutes: 15,
  installMinutesPerM2: 6,
};

const took = (number: string, actuals: Partial<JobActuals>, over: Partial<JobTook> = {}): JobTook => ({
  jobId: `id-${number}`,
  number,
  customer: 'Alder County Library',
  actuals: { reprints: [], ...actuals },
  estimated,
  reprints: [],
  currency: 'USD',
  enteredOn: '2026-11-20',
  ...over,
});

describe('the median and the median absolute deviation', () => {
  it('ACT2 agrees with the worked example of Iglewicz and Hoaglin: median 12, deviation 1, 50 far off', () => {
    expect(robust([10, 12, 11, 13, 12, 11, 50])).toEqual({
      count: 7,
      middle: 12,
      spread: 1.4826,
      farOff: [50],
    });
  });

  it('ACT2 agrees with the examples on the page of mad() in the manual of R, package stats', () => {
    // https://search.r-project.org/R/refmans/stats/html/mad.html: mad(c(1:9)), and with 100 in the place of 9, where
    // constant = 1 gives 2 for both.
    for (const last of [9, 100]) {
      const values = [1, 2, 3, 4, 5, 6, 7, 8, last];
      expect(robust(values)).toMatchObject({ count: 9, middle: 5, spread: 1.4826 * 2 });
      expect(robust(values)?.farOff).toEqual(last === 100 ? [100] : []);
    }
    // The same page, x <- c(1, 2, 3, 5, 7, 8): deviations 1 1 2 3 3 4 from 4, the ordinary median of them 2.5.
    expect(robust([1, 2, 3, 5, 7, 8])).toMatchObject({ middle: 4, spread: 1.4826 * 2.5 });
  });

  it('ACT2 agrees with mad() of statistics libraries for copper in wholemeal flour (data set chem of MASS for R)', () => {
    // 24 determinations, also the test data of Praat's robust statistics.
    const chem = [
      ...[2.2, 2.2, 2.4, 2.4, 2.5, 2.7, 2.8, 2.9, 3.03, 3.03, 3.1, 3.37],
      ...[3.4, 3.4, 3.4, 3.5, 3.6, 3.7, 3.7, 3.7, 3.7, 3.77, 5.28, 28.95],
    ];
    const found = robust(chem)!;
    expect(found.middle).toBeCloseTo(3.385, 9);
    // 1.4826 × 0.355; from memory, statsmodels' own test of this data has 0.52632.
    expect(found.spread).toBeCloseTo(0.526323, 6);
    // 0.6745 × 1.895 ÷ 0.355 is 3.60, just above 3.5.
    expect(found.farOff).toEqual([5.28, 28.95]);
  });

  it('ACT2 takes the mean of the two middle values of an even count, and calls nothing far off without spread', () => {
    expect(robust([3, 9, 4, 8])).toMatchObject({ middle: 6, spread: 2.5 * 1.4826 });
    expect(robust([7, 7, 7, 30])).toMatchObject({ middle: 7, spread: 0, farOff: [] });
    expect(robust([])).toBeUndefined();
  });
});

describe('figures from the last jobs', () => {
  const of = (key: string, jobs: readonly JobTook[]) => ownFigures(jobs).find((each) => each.key === key);

  it('ACT2 gives minutes a panel by hand, with count, spread and the jobs far off', () => {
    // 1.2, 1.1, 1.3, 1.2 and 6 hours for 12 panels: 6, 5.5, 6.5, 6 and 30 minutes each.
    const jobs = [1.2, 1.1, 1.3, 1.2, 6].map((trimming, index) =>
      took(`J-${index}`, { stepHours: { trimming } }),
    );
    const figure = of('trimMinutesPerPanel', jobs)!;
    expect(figure).toMatchObject({ proposed: 6, count: 5, farOff: ['J-4'] });
    expect(figure.spread).toBeCloseTo(0.5 * 1.4826, 6);
  });

  it('ACT2 leaves set-up out of speeds, and panels and seams out of the surface', () => {
    // 4.5 h less 2 × 15 min is 4 h for 52 m².
    const printed = [1, 2, 3].map((n) => took(`P-${n}`, { stepHours: { printing: 4.5 } }));
    expect(of('printM2PerHour', printed)?.proposed).toBe(13);
    // 600 min were estimated, 270 of them for 45 m²: 12 h leave 720 − 330 = 390 min, 8.67 each.
    const installed = [1, 2, 3].map((n) => took(`I-${n}`, { installHours: 12 }));
    expect(of('installMinutesPerSquareMeter', installed)?.proposed).toBe(8.67);
  });

  it('ACT2 spreads quotes by one spread about the median of actual ÷ estimated', () => {
    // 9, 10, 12 hours of 10: median 1, deviation 0.1, so 14.8 % each way.
    const jobs = [9, 10, 12].map((installHours, n) => took(`S-${n}`, { installHours }));
    expect([of('hoursLessPercent', jobs)?.proposed, of('hoursMorePercent', jobs)?.proposed]).toEqual([
      14.8, 14.8,
    ]);
  });

  it('ACT2 proposes nothing from two jobs, and counts the last 20', () => {
    expect(ownFigures([1, 2].map((n) => took(`T-${n}`, { filmM: 41 })))).toEqual([]);
    const many = Array.from({ length: 30 }, (_, n) =>
      took(`M-${n}`, { stepHours: { packing: n < 20 ? 1 : 9 } }),
    );
    expect(of('packMinutesPerPanel', many)).toMatchObject({ count: 20, proposed: 5 });
  });

  it('ACT2 changes the one figure that is taken', () => {
    const taken = { ...US_SHOP, ...shopWithFigure(US_SHOP, { key: 'trimMinutesPerPanel', proposed: 6.5 }) };
    expect(figureInUse(taken, 'trimMinutesPerPanel')).toBe(6.5);
    expect(taken.production.figures).toEqual({ ...US_SHOP.production.figures, trimMinutesPerPanel: 6.5 });
    const spread = { ...US_SHOP, ...shopWithFigure(US_SHOP, { key: 'hoursMorePercent', proposed: 31 }) };
    expect(figureInUse(spread, 'hoursMorePercent')).toBe(31);
    const card = {
      ...US_SHOP,
      ...shopWithFigure(US_SHOP, { key: 'installMinutesPerSquareMeter', proposed: 7 }),
    };
    expect(figureInUse(card, 'installMinutesPerSquareMeter')).toBe(7);
  });
});

describe('reports', () => {
  const reprint = {
    panel: 'LH-01',
    areaM2: 2.5,
    cents: 5751,
    paidBy: 'shop',
    reason: 'color',
    on: '2026-11-03',
  } as const;

  it('sums reprints by month, reason and currency, in cents by hand', () => {
    const { reprints } = shopReports(
      [
        took('A', {}, { reprints: [reprint, { ...reprint, cents: 1234, areaM2: 0.7, paidBy: 'customer' }] }),
        took(
          'B',
          {},
          {
            reprints: [
              { ...reprint, on: '2026-10-30' },
              { ...reprint, reason: 'wrong-size' },
            ],
          },
        ),
        took('C', {}, { reprints: [{ ...reprint, on: '2026-11-28' }], currency: 'EUR' }),
      ],
      [],
    );
    expect(
      reprints.map(({ month, reason, panels, cents, paidByOthersCents, currency }) => [
        month,
        reason,
        panels,
        cents,
        paidByOthersCents,
        currency,
      ]),
    ).toEqual([
      ['2026-11', 'color', 2, 6985, 1234, 'USD'],
      ['2026-11', 'color', 1, 5751, 0, 'EUR'],
      ['2026-11', 'wrong-size', 1, 5751, 0, 'USD'],
      ['2026-10', 'color', 1, 5751, 0, 'USD'],
    ]);
    expect(reprints[0]!.areaM2).toBeCloseTo(3.2, 9);
  });

  it('lists wraps by the end of the promised life, the last of February kept, those without a promise last', () => {
    const wrap = { customer: 'Library', vehicle: '12', film: 'Cast', lots: ['L 7'] };
    const { removals } = shopReports(
      [],
      [
        { ...wrap, jobId: '1', number: 'R-1', installedOn: '2021-01-05' },
        { ...wrap, jobId: '2', number: 'R-2', installedOn: '2024-02-29', years: 5 },
        { ...wrap, jobId: '3', number: 'R-3', installedOn: '2025-08-31', years: 2.5 },
      ],
    );
    expect(removals.map(({ number, dueOn }) => [number, dueOn])).toEqual([
      ['R-3', '2028-02-29'],
      ['R-2', '2029-02-28'],
      ['R-1', undefined],
    ]);
  });

  it('writes tables for spreadsheets that no text breaks or turns into a formula', () => {
    const reports = shopReports([took('=1+1', { filmM: 42.5 }, { customer: 'Alder, "County"' })], []);
    const { 'panelwright_jobs.csv': jobs } = reportTables(reports);
    expect(jobs!.split('\r\n')[1]).toBe(`'=1+1,"Alder, ""County""",2026-11-20,40,42.5,10,,,,0`);
  });
});

it('offers every beginning of a scanned code as a number, the longest first', () => {
  expect(codeNumbers('Job ACL 26 Output 7')).toEqual(['ACL 26 Output 7', 'ACL 26 Output', 'ACL 26', 'ACL']);
  expect(codeNumbers('bookmobile')).toEqual([]);
});

import { describe, expect, it } from 'vitest';
import { jobEstimates } from '../../../core/production/estimate.ts';
import { DEFAULT_SHOP_FIGURES } from '../../../core/shop/production-settings.ts';
import { WorkingHours } from '../../../core/shop/working-hours.ts';
import { clockCalendar } from '../../../renderer/production/clock-calendar.ts';
import { estimateList, estimateText, inputText } from '../../../renderer/production/estimate-words.ts';
import {
  draftEmpty,
  draftFromMaterial,
  materialFromDraft,
} from '../../../renderer/production/material-draft.ts';
import { shiftsFromText, shiftsText } from '../../../renderer/production/shift-text.ts';

const workday = [
  { from: '07:30', to: '12:00' },
  { from: '12:45', to: '16:30' },
];
const hours: WorkingHours = {
  week: [workday, workday, workday, workday, [{ from: '08:00', to: '13:00' }], [], []],
  closed: ['2026-12-08'],
};

describe('the drying clock as a calendar', () => {
  const days = clockCalendar(
    {
      printStart: '2026-12-03T12:00',
      printEnd: '2026-12-03T15:00',
      dry: '2026-12-05T15:00',
      laminate: '2026-12-07T07:30',
      trim: '2026-12-09T07:30',
      pack: '2026-12-09T09:00',
      install: '2026-12-09T18:00',
      promised: '2026-12-08T06:00',
    },
    hours,
  );

  it('has a row for each day from printing to installation', () => {
    // 3 December 2026 is a Thursday (ISO 8601 week 49).
    expect(days.map(({ date, weekday }) => `${weekday} ${date}`)).toEqual([
      'Thu 2026-12-03',
      'Fri 2026-12-04',
      'Sat 2026-12-05',
      'Sun 2026-12-06',
      'Mon 2026-12-07',
      'Tue 2026-12-08',
      'Wed 2026-12-09',
    ]);
  });

  it('shows working hours, and none on closed days', () => {
    expect(days.map(({ shifts }) => shifts.length)).toEqual([2, 1, 0, 0, 2, 0, 2]);
    expect(days[1]!.shifts).toEqual([{ from: 8 / 24, to: 13 / 24 }]);
  });

  it('splits printing and drying by days', () => {
    expect(days.map(({ printing }) => printing)).toEqual([
      [{ from: 0.5, to: 0.625 }],
      [],
      [],
      [],
      [],
      [],
      [],
    ]);
    expect(days.map(({ drying }) => drying)).toEqual([
      [{ from: 0.625, to: 1 }],
      [{ from: 0, to: 1 }],
      [{ from: 0, to: 0.625 }],
      [],
      [],
      [],
      [],
    ]);
  });

  it('marks each moment on its day', () => {
    expect(days.flatMap(({ date, marks }) => marks.map(({ step, at }) => [date.slice(8), step, at]))).toEqual(
      [
        ['07', 'laminate', 7.5 / 24],
        ['08', 'promised', 0.25],
        ['09', 'trim', 7.5 / 24],
        ['09', 'pack', 0.375],
        ['09', 'install', 0.75],
      ],
    );
  });
});

describe('shifts as people write them', () => {
  it('are read and written back', () => {
    expect(shiftsFromText('7:30-12:00, 12:45 – 16:30')).toEqual(workday);
    expect(shiftsFromText('8-13')).toEqual([{ from: '08:00', to: '13:00' }]);
    expect(shiftsFromText('')).toEqual([]);
    expect(shiftsFromText(shiftsText(workday))).toEqual(workday);
  });

  it('are refused where they are no shifts, here or by the schema of working hours', () => {
    expect(shiftsFromText('mornings')).toBeUndefined();
    const backwards = { ...hours, week: hours.week.with(0, shiftsFromText('16:00-08:00')!) };
    expect(WorkingHours.safeParse(backwards).success).toBe(false);
  });
});

describe('a material typed from its data sheet', () => {
  const typed = draftEmpty({
    name: ' Cast film 50 ',
    finish: 'gloss',
    thicknessUm: '50',
    serviceYears: '7',
    widthMm: '54 in',
    lengthMm: '45,72 m',
    pricePerM2: '13.5',
    stretchLimitPercent: '130',
  });
  const given = { id: 'f1', use: 'film', unit: 'mm' } as const;

  it('is read in any unit', () => {
    expect(materialFromDraft(typed, given)).toMatchObject({
      ok: true,
      item: { use: 'film', name: 'Cast film 50', widthMm: 1371.6, lengthMm: 45_720, pricePerM2: 13.5 },
    });
  });

  it('keeps all its figures when it is opened again', () => {
    const read = materialFromDraft(typed, given);
    if (!read.ok) throw new Error('not read');
    expect(materialFromDraft(draftFromMaterial(read.item, 'mm'), given)).toEqual(read);
    // In a job in inches the text is rounded; what was left alone keeps its very figure.
    const inInches = { ...given, unit: 'in', was: read.item } as const;
    const draft = draftFromMaterial(read.item, 'in');
    expect([draft.lengthMm, draft.pricePerM2]).toEqual(['150 ft', '1.2542']);
    expect(materialFromDraft(draft, inInches)).toEqual(read);
    // 2.50 a ft² is 2.5 ÷ 0.09290304 a m².
    const changed = materialFromDraft({ ...draft, pricePerM2: '2.50' }, inInches);
    expect(changed.ok && changed.item.pricePerM2).toBeCloseTo(26.909776, 6);
    expect(changed.ok && draftFromMaterial(changed.item, 'in').pricePerM2).toBe('2.5');
  });

  it('has no figure made up: each that is missing is asked for beside its field', () => {
    const read = materialFromDraft(draftEmpty({}), given);
    expect(read).toMatchObject({
      ok: false,
      problems: {
        name: 'Name must not be empty.',
        thicknessUm: 'Thickness, µm is missing.',
        stretchLimitPercent: 'Most stretch when installed, % longer is missing.',
        widthMm: 'Width is missing.',
      },
    });
  });

  it('names what is out of range', () => {
    expect(materialFromDraft({ ...typed, serviceYears: '700', pricePerM2: 'much' }, given)).toMatchObject({
      ok: false,
      problems: { pricePerM2: '“much” is not a number.' },
    });
    expect(materialFromDraft({ ...typed, serviceYears: '700' }, given)).toMatchObject({
      ok: false,
      problems: { serviceYears: 'Service life, years is out of range.' },
    });
  });

  it('asks no stretch of a laminate', () => {
    const read = materialFromDraft({ ...typed, stretchLimitPercent: '' }, { ...given, use: 'laminate' });
    expect(read).toMatchObject({ ok: true, item: { use: 'laminate' } });
  });
});

describe('estimates in words', () => {
  const estimates = jobEstimates(
    {
      panels: [{ printedAreaMm2: 4_000_000, meanCoveragePercent: undefined }],
      rolls: [{ widthMm: 1524, usedLengthMm: 3000, printedLengthMm: 2600, panelAreaMm2: 4_100_000 }],
      filmPrice: { perM2: 12, from: 'shelf' },
      laminate: undefined,
      install: undefined,
    },
    DEFAULT_SHOP_FIGURES,
  );

  it('leave out what cannot be told: ink without a coverage, laminate without one', () => {
    expect(estimateList(estimates).map(({ name }) => name)).toEqual([
      'Film',
      'Waste',
      'Printing',
      'Trimming',
      'Packing',
      'Cost',
    ]);
  });

  it('are written with their inputs, so that the sum can be done again', () => {
    // 1.524 m × 3 m = 4.572 m²; waste 1 − 4.1 ÷ 4.572 = 10.3 % (the formula of the trade).
    expect(estimateText(estimates.film, 'EUR', 'mm')).toBe('4.6 m²');
    expect(estimateText(estimates.film, 'EUR', 'in')).toBe('49 ft²');
    expect(estimateText(estimates.waste, 'EUR', 'mm')).toBe('10 %');
    expect(estimates.waste.inputs.map((input) => inputText(input, 'mm'))).toEqual(['4.1 m²', '4.57 m²']);
    expect(estimateText(estimates.cost, 'EUR', 'mm')).toMatch(/^\d+ EUR$/);
  });
});

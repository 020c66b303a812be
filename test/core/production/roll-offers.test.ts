import { describe, expect, it } from 'vitest';
import { FIRST_FILM_ID } from '../../../core/job/job-films.ts';
import type { Job, Region } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { productionFindings } from '../../../core/production/production-findings.ts';
import {
  laminateFromShelf,
  rollFromShelf,
  rollOffers,
  rollsAsLeft,
} from '../../../core/production/roll-offers.ts';
import { DEFAULT_PRODUCTION, type ProductionSettings } from '../../../core/shop/production-settings.ts';
import type { StockRoll } from '../../../core/shop/stock-roll.ts';
import { smallJob } from '../../support/small-job.ts';

const LAMINATE = { name: 'Gloss laminate', kind: 'cast', finish: 'gloss', lotNumber: '' } as const;
const production = (over: Partial<ProductionSettings> = {}) => ({ ...DEFAULT_PRODUCTION, ...over });

const job = smallJob({ laminate: LAMINATE, production: production() });
const [left] = job.sides;
/** The same panels again; ids are unique in a job. */
const right = { ...left!, id: 'right', code: 'RH', name: 'Right side', layout: renamed(left!.layout) };
const twoSides: Job = { ...job, sides: [left!, right] };

function renamed(layout: Region): Region {
  return JSON.parse(JSON.stringify(layout).replaceAll('"id":"', '"id":"right-')) as Region;
}

function roll(number: number, leftMm: number, over: Partial<StockRoll> = {}): StockRoll {
  return {
    id: `roll-${number}`,
    number,
    use: 'film',
    material: job.film.name,
    lotNumber: `77${number}`,
    rollNumber: String(number),
    widthMm: 1524,
    place: '',
    receivedOn: '2026-01-05',
    leftMm,
    isPartial: leftMm < 45_720,
    ...over,
  };
}

const offers = (of: Job, ...stock: StockRoll[]) => {
  const { films, laminates } = rollOffers(of, FIRST_FILM_ID, jobLayout(of), stock);
  const told = (list: typeof films) =>
    list.map(({ roll: { number, leftMm }, takes, neededMm }) => [number, takes, neededMm, leftMm - neededMm]);
  return { films: told(films), laminates: told(laminates) };
};

describe('STK8: rolls that take all of a job are offered first, that on which least is left over before the others', () => {
  it('each with what the job takes of it', () => {
    // Panels of 1,455 × 1,460 and 1,890 × 1,460 mm: 200 + 1,455 + 15 + 1,890 + 200.
    const stock = [
      roll(1, 45_720),
      roll(2, 4000),
      roll(3, 3760),
      roll(4, 3759.9),
      roll(5, 9000, { widthMm: 1372 }),
      roll(6, 3800, { material: 'Some other film' }),
      roll(7, 0),
      roll(8, 3900, { material: ` ${job.film.name.toUpperCase()} `, widthMm: 1600 }),
    ];
    expect(offers(job, ...stock).films).toEqual([
      [3, 'all', 3760, 0],
      [8, 'all', 3760, 140],
      [2, 'all', 3760, 240],
      [1, 'all', 3760, 41_960],
    ]);
  });

  it('then those that take a side by itself, of a job with several', () => {
    const both = offers(twoSides, roll(1, 45_720), roll(2, 4000), roll(3, 3759)).films;
    // Nothing lies beside these panels: 200 + 2 × (1,455 + 15 + 1,890) + 15 + 200.
    expect(both).toEqual([
      [1, 'all', 7135, 45_720 - 7135],
      [2, ['LH', 'RH'], 3760, 240],
    ]);
  });

  it('of a fleet by the sides of one vehicle, whatever film all of them take', () => {
    const [vehicle] = twoSides.vehicles;
    const units = ['12', '14', '15'].map((unitNumber) => ({ unitNumber, licensePlate: '' }));
    const fleet = { ...twoSides, vehicles: [{ ...vehicle!, units }] };
    expect(offers(fleet, roll(2, 4000)).films).toEqual([[2, ['LH', 'RH'], 3760, 240]]);
  });

  it('laminate that covers the nesting, is no wider than the film, and is long enough for threading', () => {
    const laminate = (number: number, leftMm: number, widthMm: number) =>
      roll(number, leftMm, { use: 'laminate', material: LAMINATE.name, widthMm });
    // Turned panels lie 1,460 across; 3,360 printed and 1,500 lost on threading.
    const stock = [
      laminate(1, 30_000, 1524),
      laminate(2, 4860, 1460),
      laminate(3, 4859, 1524),
      laminate(4, 30_000, 1459),
      laminate(5, 30_000, 1525),
    ];
    expect(offers(job, ...stock).laminates).toEqual([
      [2, 'all', 4860, 0],
      [1, 'all', 4860, 25_140],
    ]);
    expect(offers(job, ...stock).films).toEqual([]);
  });
});

function codes(of: Job, settings: Partial<ProductionSettings>): string[] {
  const settled = { ...of, production: production(settings) };
  const layouts = jobLayout(settled);
  const made = jobProduction(settled, layouts);
  return productionFindings({ job: settled, layouts, production: made }).map(
    ({ code, severity, message }) => `${severity} ${code}: ${message}`,
  );
}

it('STK9 a roll that is used past its use by date warns, on the day of printing or else of the job', () => {
  const old = (useBy: string) => rollFromShelf(job, roll(2, 4000, { useBy }));
  const found = (over: Partial<ProductionSettings>) =>
    codes(job, over).filter((text) => text.includes('roll-past-use-by'));
  expect(job.date).toBe('2026-03-09');
  expect(found({ rolls: [old('2026-03-09')] })).toEqual([]);
  expect(found({ rolls: [old('2026-03-08')] })).toEqual([
    `warn roll-past-use-by: ${job.film.name}, lot 772, roll 2, R-0002 is used on 2026-03-09, past its use by date, 2026-03-08.`,
  ]);
  expect(found({ rolls: [old('2026-03-09')], printStart: '2026-03-10T07:30' })).toHaveLength(1);
  expect(found({ rolls: [rollFromShelf(job, roll(3, 9000)), old('2026-01-31')] })).toEqual([]);
  const laminate = laminateFromShelf(roll(4, 9000, { use: 'laminate', useBy: '2026-01-31' }));
  expect(found({ laminateRolls: [laminate] })).toHaveLength(1);
});

it('a side on rolls of two lots warns, where it may lie on two rolls at all', () => {
  const { rules } = DEFAULT_PRODUCTION;
  const apart = { ...rules, sideOnOneRoll: false };
  // Each takes one of the two panels.
  const rolls = (...lots: string[]) =>
    lots.map((lotNumber, index) => rollFromShelf(job, roll(index + 1, 2400, { lotNumber })));
  const found = (...lots: string[]) =>
    codes(job, { rolls: rolls(...lots), rules: apart }).filter((text) => text.includes('lots'));
  expect(found('7741', '7741')).toEqual([]);
  expect(found('7741', '7750')).toHaveLength(1);
  expect(found('7741', '7750')[0]).toMatch(
    /^warn roll-side-lots: LH-0\d lies on .*, of lot 77\d\d, but its side begins/,
  );
  expect(found('7741', '')[0]).toContain('a lot that is not known');
});

it('a roll that the job took is named where its length changed since, and is nested on with what is left of it', () => {
  const laminate = roll(3, 20_000, { use: 'laminate', material: LAMINATE.name });
  const settings = production({
    rolls: [rollFromShelf(job, roll(1, 9000)), rollFromShelf(job, roll(2, 8000))],
    laminateRolls: [laminateFromShelf(laminate)],
  });
  const now = [roll(1, 5240), roll(2, 8000), { ...laminate, leftMm: 0 }];
  const taken = { ...job, production: settings };
  const { changed } = rollOffers(taken, FIRST_FILM_ID, jobLayout(taken), now);
  expect(changed.map(({ number }) => number)).toEqual([1, 3]);
  const once = rollsAsLeft(settings, now[0]!);
  expect(once.rolls.map(({ usableLengthMm }) => usableLengthMm)).toEqual([5240, 8000]);
  expect(once.laminateRolls).toEqual(settings.laminateRolls);
  // A roll that is used up is taken out.
  expect(rollsAsLeft(settings, now[2]!).laminateRolls).toEqual([]);
});

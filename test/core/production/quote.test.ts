import { expect, it } from 'vitest';
import type { Estimate, JobEstimates } from '../../../core/production/estimate.ts';
import { jobQuote, priceText } from '../../../core/production/quote.ts';
import { ESTIMATED_PRICES, type Prices } from '../../../core/shop/prices.ts';

const estimate = (
  name: string,
  value: number,
  unit: Estimate['unit'],
  inputs: Estimate['inputs'] = [],
): Estimate => ({
  isEstimate: true,
  name,
  value,
  unit,
  inputs,
});

/** 40 m² of film and laminate, 5 h in the shop, 12.5 h on the vehicle. */
const estimates: JobEstimates = {
  film: estimate('Film', 40, 'm²'),
  waste: estimate('Waste', 9, '%'),
  laminate: estimate('Laminate', 42, 'm²'),
  ink: estimate('Ink', 480, 'ml'),
  printTime: estimate('Printing', 170, 'min'),
  laminationTime: estimate('Lamination', 55, 'min'),
  trimTime: estimate('Trimming', 44, 'min'),
  packTime: estimate('Packing', 31, 'min'),
  installTime: estimate('Installing', 750, 'min'),
  cost: estimate('Cost', 1220.405, 'money', [
    { name: 'Film (shelf price)', value: 560.335, unit: 'USD' },
    { name: 'Laminate (cost card)', value: 378.07, unit: 'USD' },
    { name: 'Ink', value: 57, unit: 'USD' },
    { name: 'Labor in the shop', value: 225, unit: 'USD' },
  ]),
  currency: 'USD',
};

const prices: Prices = {
  ...ESTIMATED_PRICES,
  isEstimate: false,
  shopPerHour: 80,
  installPerHour: 95,
  materialMarkupPercent: 40,
  validDays: 21,
  hoursLessPercent: 10,
  hoursMorePercent: 30,
  materialLessPercent: 5,
  materialMorePercent: 12,
  extras: [{ name: 'Design', amount: 350.5 }],
};

const quote = jobQuote({ prices, date: '2026-12-20' }, estimates, 45);

it('QUO1 prices material with the markup, hours by the hour, and extras as typed, in whole cents by hand', () => {
  expect(quote.lines.map(({ name, likely }) => [name, likely])).toEqual([
    ['Film', 78_447], // 560.335 × 1.4 = 784.469
    ['Laminate', 52_930], // 378.07 × 1.4 = 529.298
    ['Ink', 7980], // 57 × 1.4
    ['Production in the shop', 40_000], // 5 h × 80
    ['Installation', 118_750], // 12.5 h × 95
    ['Design', 35_050],
  ]);
  expect(quote.total.likely).toBe(78_447 + 52_930 + 7980 + 40_000 + 118_750 + 35_050);
});

it('spreads hours and material by the shop’s figures, extras not, and sums the rounded lines', () => {
  const [film, , , shop, install, design] = quote.lines;
  expect([film!.low, film!.high]).toEqual([74_525, 87_861]); // 784.469 × 0.95 and × 1.12
  expect([shop!.low, shop!.high]).toEqual([36_000, 52_000]);
  expect([install!.low, install!.high]).toEqual([106_875, 154_375]);
  expect([design!.low, design!.high]).toEqual([35_050, 35_050]);
  expect(quote.total.low).toBe(quote.lines.reduce((sum, { low }) => sum + low, 0));
  expect(quote.hours).toEqual({ low: 15.75, likely: 17.5, high: 22.75 });
});

it('QUO1 keeps what the job costs the shop apart: cost of the estimate and install hours at the labor rate', () => {
  expect(quote.ownCost).toBe(178_291); // 1220.405 + 12.5 × 45 = 1782.905
});

it('QUO1 holds for the days that the shop says, over the end of a year', () => {
  expect(quote.validUntil).toBe('2027-01-10');
});

it('is a draft while the shop has set no prices', () => {
  expect(jobQuote({ date: '2026-12-20' }, estimates, 45).prices.isEstimate).toBe(true);
});

it('QUO1 writes money with two decimals and a sign', () => {
  expect([5, 123_450, 100_000_000, -1205].map((each) => priceText(each, 'USD'))).toEqual([
    '0.05 USD',
    '1,234.50 USD',
    '1,000,000.00 USD',
    '−12.05 USD',
  ]);
});

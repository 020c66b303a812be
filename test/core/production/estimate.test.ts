import { describe, expect, it } from 'vitest';
import { type EstimateBasis, jobEstimates } from '../../../core/production/estimate.ts';
import { ShopFigures } from '../../../core/shop/shop-figures.ts';

const SHOP = ShopFigures.parse({
  inkMlPerM2: 8,
  inkPricePerLitre: 130,
  printM2PerHour: 16,
  printSetupMinutes: 12,
  laminationMetersPerHour: 90,
  laminationSetupMinutes: 15,
  laminateLossMm: 700,
  trimMinutesPerPanel: 6,
  packMinutesPerPanel: 2.5,
  laborPerHour: 41,
  currency: 'EUR',
});

const BASIS: EstimateBasis = {
  panels: [
    { printedAreaMm2: 3_100_000, meanCoveragePercent: 105 },
    { printedAreaMm2: 2_700_000, meanCoveragePercent: 60 },
    { printedAreaMm2: 900_000, meanCoveragePercent: 210 },
  ],
  rolls: [
    { widthMm: 1524, usedLengthMm: 5200, printedLengthMm: 4800, panelAreaMm2: 6_000_000 },
    { widthMm: 1371.6, usedLengthMm: 1300, printedLengthMm: 900, panelAreaMm2: 950_000 },
  ],
  filmPrice: { perM2: 9.4, from: 'shelf' },
  laminate: { widthMm: 1540, price: { perM2: 7.1, from: 'card' } },
  install: [
    {
      minutes: 95,
      matchingMinutes: 7,
      panelCount: 2,
      longestFilm: 3400,
      people: 2,
      seamMeters: 1.3,
      squareMeters: 4,
    },
    {
      minutes: 40,
      matchingMinutes: 0,
      panelCount: 1,
      longestFilm: 1200,
      people: 1,
      seamMeters: 0,
      squareMeters: 1.1,
    },
  ],
};

// Every expected value is worked out here by hand from the shop's own figures.
describe('estimates', () => {
  const estimates = jobEstimates(BASIS, SHOP);
  const filmM2 = 1.524 * 5.2 + 1.3716 * 1.3;
  const laminateM = 4.8 + 0.7 + 0.9 + 0.7;

  it('film and waste follow the plan', () => {
    expect(estimates.film.value).toBeCloseTo(filmM2, 9);
    expect(estimates.waste.value).toBeCloseTo(100 * (1 - 6.95 / filmM2), 9);
    expect(estimates.laminate?.value).toBeCloseTo(laminateM * 1.54, 9);
  });

  it('ink follows area and coverage, and is not guessed where a panel was not measured', () => {
    expect(estimates.ink?.value).toBeCloseTo(8 * (3.1 * 1.05 + 2.7 * 0.6 + 0.9 * 2.1), 9);
    const panels = [...BASIS.panels, { printedAreaMm2: 1_000_000, meanCoveragePercent: undefined }];
    const unmeasured = jobEstimates({ ...BASIS, panels }, SHOP);
    expect(unmeasured.ink).toBeUndefined();
    expect(unmeasured.cost.inputs.map((input) => input.name)).toEqual([
      'Film (shelf price)',
      'Laminate (cost card)',
      'Labor in the shop',
    ]);
  });

  it('times follow area, length and count', () => {
    const printMinutes = 2 * 12 + (60 * (1.524 * 4.8 + 1.3716 * 0.9)) / 16;
    expect(estimates.printTime.value).toBeCloseTo(printMinutes, 9);
    expect(estimates.laminationTime?.value).toBeCloseTo(2 * 15 + (60 * laminateM) / 90, 9);
    expect(estimates.trimTime.value).toBe(18);
    expect(estimates.packTime.value).toBe(7.5);
    expect(estimates.installTime!.value).toBe(135);
    expect(estimates.installTime!.inputs.map(({ value }) => value)).toEqual([3, 3.4, 2, 1.3, 5.1]);
    expect(jobEstimates({ ...BASIS, install: undefined }, SHOP).installTime).toBeUndefined();
  });

  it('the cost is the sum of its parts, each named', () => {
    const minutes =
      estimates.printTime.value +
      estimates.laminationTime!.value +
      estimates.trimTime.value +
      estimates.packTime.value;
    expect(estimates.cost.inputs.map((input) => [input.name, input.unit])).toEqual([
      ['Film (shelf price)', 'EUR'],
      ['Laminate (cost card)', 'EUR'],
      ['Ink', 'EUR'],
      ['Labor in the shop', 'EUR'],
    ]);
    expect(estimates.cost.value).toBeCloseTo(
      filmM2 * 9.4 + laminateM * 1.54 * 7.1 + (estimates.ink!.value / 1000) * 130 + (minutes / 60) * 41,
      9,
    );
  });

  it('every figure says that it is an estimate, and from what', () => {
    const all = Object.values(estimates).filter((value) => typeof value === 'object');
    expect(all).toHaveLength(10);
    for (const figure of all) {
      expect(figure.isEstimate).toBe(true);
      expect(figure.inputs.length).toBeGreaterThan(1);
    }
  });

  it('without laminate there is neither film nor time for it; an empty job costs nothing', () => {
    const bare = jobEstimates({ ...BASIS, laminate: undefined }, SHOP);
    expect([bare.laminate, bare.laminationTime]).toEqual([undefined, undefined]);
    const nothing = jobEstimates({ ...BASIS, panels: [], rolls: [] }, SHOP);
    expect([nothing.waste.value, nothing.ink?.value, nothing.cost.value]).toEqual([0, 0, 0]);
  });
});

/**
 * Film, laminate, ink, time and cost of a job. Each figure is an estimate: it names what it was worked out from,
 * so that the reader can judge it.
 */
import { z } from 'zod';
import { type AreaPrice, PRICE_SOURCE_NAMES } from '../job/material-price.ts';
import { listSchema } from '../measure/schemas.ts';
import type { SideInstall } from '../seams/side-install.ts';
import type { ShopFigures } from '../shop/shop-figures.ts';

/** What is known of the job when it is estimated. Areas in mm², lengths in mm. */
export interface EstimateBasis {
  readonly panels: readonly {
    /** Area that prints, without the unprinted border. */
    readonly printedAreaMm2: number;
    /** Mean total area coverage of that area; undefined where the artwork has not been measured. */
    readonly meanCoveragePercent: number | undefined;
  }[];
  /** Whether sides without artwork are counted with the shop's usual coverage. */
  readonly isCoverageUsual?: boolean;
  readonly rolls: readonly {
    readonly widthMm: number;
    readonly usedLengthMm: number;
    /** Lengths of all bands on the roll, gaps included: what the printer passes over. */
    readonly printedLengthMm: number;
    readonly panelAreaMm2: number;
    /** Of the fill list, in the waste beside the panels. */
    readonly fillAreaMm2?: number;
  }[];
  /** How many times the laminator is begun; absent: once for each roll. */
  readonly laminations?: number;
  readonly filmPrice: AreaPrice;
  /** Undefined where the prints are not laminated. */
  readonly laminate: { readonly widthMm: number; readonly price: AreaPrice } | undefined;
  /** Of each side; undefined where it is not known, see jobInstall. */
  readonly install: readonly SideInstall[] | undefined;
}

const EstimateUnit = z.enum(['m²', 'm', 'ml', 'min', '%', 'money']);
export type EstimateUnit = z.infer<typeof EstimateUnit>;

const EstimateInput = z.strictObject({ name: z.string(), value: z.number(), unit: z.string() });
export type EstimateInput = z.infer<typeof EstimateInput>;

/** A figure that was worked out ahead, with what went into it. Not rounded: rounding is for the sheet that shows it. */
export const Estimate = z.strictObject({
  isEstimate: z.literal(true),
  name: z.string(),
  value: z.number(),
  unit: EstimateUnit,
  inputs: listSchema(EstimateInput),
});
export type Estimate = z.infer<typeof Estimate>;

export const JobEstimates = z.strictObject({
  film: Estimate,
  waste: Estimate,
  laminate: Estimate.optional(),
  /** Absent where a panel's coverage has not been measured: better no figure than a wrong one. */
  ink: Estimate.optional(),
  printTime: Estimate,
  laminationTime: Estimate.optional(),
  trimTime: Estimate,
  packTime: Estimate,
  /** Of all people together, by the rule of the planner; absent for a reprint. Matching the picture is not in it. */
  installTime: Estimate.optional(),
  /** Where the ink is not known it is left out, and the inputs do not name it. */
  cost: Estimate,
  currency: z.string(),
});
export type JobEstimates = z.infer<typeof JobEstimates>;

const MM2_PER_M2 = 1_000_000;
const MM_PER_M = 1000;
const MINUTES_PER_HOUR = 60;
const ML_PER_LITRE = 1000;

const estimate = (
  name: string,
  value: number,
  unit: EstimateUnit,
  ...inputs: (readonly [string, number, string])[]
): Estimate => ({
  isEstimate: true,
  name,
  value,
  unit,
  inputs: inputs.map(([inputName, inputValue, inputUnit]) => ({
    name: inputName,
    value: inputValue,
    unit: inputUnit,
  })),
});

/** Works out every figure from the plan, the materials and the shop's own figures. */
export function jobEstimates(basis: EstimateBasis, shop: ShopFigures): JobEstimates {
  const film = filmEstimate(basis);
  const laminate = laminateEstimate(basis, shop);
  const ink = inkEstimate(basis, shop);
  const printTime = printTimeEstimate(basis, shop);
  const laminationTime = laminationTimeEstimate(basis, shop);
  const panelCount = basis.panels.length;
  const trimTime = panelTimeEstimate('Trimming', panelCount, shop.trimMinutesPerPanel);
  const packTime = panelTimeEstimate('Packing', panelCount, shop.packMinutesPerPanel);
  const workMinutes = [printTime, laminationTime, trimTime, packTime].reduce(
    (sum, time) => sum + (time?.value ?? 0),
    0,
  );
  return {
    film,
    waste: wasteEstimate(basis),
    laminate,
    ink,
    printTime,
    laminationTime,
    trimTime,
    packTime,
    ...(basis.install && { installTime: installTimeEstimate(basis.install) }),
    cost: costEstimate(basis, shop, { film, laminate, ink }, workMinutes),
    currency: shop.currency,
  };
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

function filmEstimate({ rolls }: EstimateBasis): Estimate {
  const lengthM = sum(rolls.map((roll) => roll.usedLengthMm)) / MM_PER_M;
  const areaM2 = sum(rolls.map((roll) => roll.usedLengthMm * roll.widthMm)) / MM2_PER_M2;
  return estimate('Film', areaM2, 'm²', ['Film used', lengthM, 'm'], ['Rolls', rolls.length, '']);
}

/**
 * Common practice: waste % = 100 × (1 − panel area ÷ (roll width × used length)), over all rolls. What fill pieces cover is
 * waste no more. Keeps FL6.
 */
function wasteEstimate({ rolls }: EstimateBasis): Estimate {
  const panelsM2 = sum(rolls.map((roll) => roll.panelAreaMm2)) / MM2_PER_M2;
  const filmM2 = sum(rolls.map((roll) => roll.usedLengthMm * roll.widthMm)) / MM2_PER_M2;
  const fillM2 = sum(rolls.map((roll) => roll.fillAreaMm2 ?? 0)) / MM2_PER_M2;
  return wasteOf({ panelsM2, fillM2, filmM2 });
}

export const wasteOf = ({
  panelsM2,
  fillM2,
  filmM2,
}: {
  readonly panelsM2: number;
  readonly fillM2: number;
  readonly filmM2: number;
}): Estimate =>
  estimate(
    'Waste',
    filmM2 > 0 ? 100 * (1 - (panelsM2 + fillM2) / filmM2) : 0,
    '%',
    ['Panels', panelsM2, 'm²'],
    ...(fillM2 > 0 ? [['Fill pieces', fillM2, 'm²'] as const] : []),
    ['Film', filmM2, 'm²'],
  );

/** Each roll is laminated in one run over what was printed, or in one for each install day. */
function laminateLengthM(basis: EstimateBasis, shop: ShopFigures): number {
  const printed = sum(basis.rolls.map((roll) => roll.printedLengthMm));
  return (printed + laminations(basis) * shop.laminateLossMm) / MM_PER_M;
}

const laminations = ({ rolls, laminations: given }: EstimateBasis): number => given ?? rolls.length;

function laminateEstimate(basis: EstimateBasis, shop: ShopFigures): Estimate | undefined {
  if (!basis.laminate) return undefined;
  const lengthM = laminateLengthM(basis, shop);
  const widthM = basis.laminate.widthMm / MM_PER_M;
  return estimate(
    'Laminate',
    lengthM * widthM,
    'm²',
    ['Length, losses included', lengthM, 'm'],
    ['Width', widthM, 'm'],
  );
}

function inkEstimate({ panels, isCoverageUsual }: EstimateBasis, shop: ShopFigures): Estimate | undefined {
  let fullPlatesM2 = 0;
  for (const { printedAreaMm2, meanCoveragePercent } of panels) {
    if (meanCoveragePercent === undefined) return undefined;
    fullPlatesM2 += (printedAreaMm2 / MM2_PER_M2) * (meanCoveragePercent / 100);
  }
  const printedM2 = sum(panels.map((panel) => panel.printedAreaMm2)) / MM2_PER_M2;
  return estimate(
    'Ink',
    fullPlatesM2 * shop.inkMlPerM2,
    'ml',
    ['Printed area', printedM2, 'm²'],
    [
      isCoverageUsual ? 'Usual coverage, no artwork yet' : 'Mean coverage',
      printedM2 > 0 ? (100 * fullPlatesM2) / printedM2 : 0,
      '%',
    ],
    ['Ink at 100 %', shop.inkMlPerM2, 'ml/m²'],
  );
}

function printTimeEstimate({ rolls }: EstimateBasis, shop: ShopFigures): Estimate {
  const areaM2 = sum(rolls.map((roll) => roll.printedLengthMm * roll.widthMm)) / MM2_PER_M2;
  return estimate(
    'Printing',
    rolls.length * shop.printSetupMinutes + (MINUTES_PER_HOUR * areaM2) / shop.printM2PerHour,
    'min',
    ['Film passed', areaM2, 'm²'],
    ['Speed', shop.printM2PerHour, 'm²/h'],
    ['Setup per roll', shop.printSetupMinutes, 'min'],
  );
}

function laminationTimeEstimate(basis: EstimateBasis, shop: ShopFigures): Estimate | undefined {
  if (!basis.laminate) return undefined;
  const lengthM = laminateLengthM(basis, shop);
  return estimate(
    'Lamination',
    laminations(basis) * shop.laminationSetupMinutes +
      (MINUTES_PER_HOUR * lengthM) / shop.laminationMetersPerHour,
    'min',
    ['Length, losses included', lengthM, 'm'],
    ['Speed', shop.laminationMetersPerHour, 'm/h'],
    ['Setup per roll', shop.laminationSetupMinutes, 'min'],
  );
}

export function installTimeEstimate(sides: readonly SideInstall[]): Estimate {
  const most = (of: (side: SideInstall) => number) => Math.max(0, ...sides.map(of));
  const total = (of: (side: SideInstall) => number) => sum(sides.map(of));
  return estimate(
    'Installing',
    total(({ minutes }) => minutes),
    'min',
    ['Panels', total(({ panelCount }) => panelCount), ''],
    ['Longest panel', most(({ longestFilm }) => longestFilm) / MM_PER_M, 'm'],
    ['People for it', most(({ people }) => people), ''],
    ['Seams', total(({ seamMeters }) => seamMeters), 'm'],
    ['Surface', total(({ squareMeters }) => squareMeters), 'm²'],
  );
}

const panelTimeEstimate = (name: string, panelCount: number, minutesPerPanel: number): Estimate =>
  estimate(
    name,
    panelCount * minutesPerPanel,
    'min',
    ['Panels', panelCount, ''],
    ['Per panel', minutesPerPanel, 'min'],
  );

function costEstimate(
  basis: EstimateBasis,
  shop: ShopFigures,
  {
    film,
    laminate,
    ink,
  }: { readonly film: Estimate; readonly laminate: Estimate | undefined; readonly ink: Estimate | undefined },
  workMinutes: number,
): Estimate {
  const priced = (
    name: string,
    { value }: Estimate,
    { perM2, from }: AreaPrice,
  ): [string, number, string] => [`${name} (${PRICE_SOURCE_NAMES[from]})`, value * perM2, shop.currency];
  // Where no panel found a place there is no film to pay for.
  const parts = film.value > 0 ? [priced('Film', film, basis.filmPrice)] : [];
  if (laminate && basis.laminate) {
    parts.push(priced('Laminate', laminate, basis.laminate.price));
  }
  if (ink) parts.push(['Ink', (ink.value / ML_PER_LITRE) * shop.inkPricePerLitre, shop.currency]);
  parts.push(['Labor in the shop', (workMinutes / MINUTES_PER_HOUR) * shop.laborPerHour, shop.currency]);
  return estimate('Cost', sum(parts.map(([, value]) => value)), 'money', ...parts);
}

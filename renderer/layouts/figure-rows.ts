/** The table of figures: a row for each thing that plans are compared by, with what it was worked out from. */
import { feedErrorOver } from '../../core/layout/panel-fit.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText } from '../../core/measure/long-length.ts';
import { foundIn } from '../../core/measure/present.ts';
import type { PlanFigures } from '../../core/seams/plan-figures.ts';
import { areaText, metersText, moneyText, shareText, workText } from '../parts/quantity-text.ts';
import type { CardPath } from './card-fields.ts';
import type { PlanUnits } from './plan-words.ts';

export interface FigureRow {
  readonly name: string;
  /** Panels, trims and lengths follow from the layout alone; all else rests on the cost card or the rendering. */
  readonly isEstimate: boolean;
  /** Figures of the cost card that it was worked out from. */
  readonly inputs: readonly CardPath[];
  readonly value: (figures: PlanFigures) => number;
  readonly text: (figures: PlanFigures) => string;
}

export function figureRows({ unit, currency, printer }: PlanUnits): readonly FigureRow[] {
  const row = (
    name: string,
    value: (figures: PlanFigures) => number,
    write: (value: number) => string,
    inputs?: readonly CardPath[],
  ): FigureRow => ({
    name,
    value,
    text: (figures) => write(value(figures)),
    isEstimate: inputs !== undefined,
    inputs: inputs ?? [],
  });
  const count = (value: number) => String(value);
  const film = (mm: number) => filmLengthText(mm, unit);
  const length = (mm: number) => lengthText(mm, unit);
  const run = (meters: number) => metersText(meters, unit);
  const area = (squareMeters: number) => areaText(squareMeters, unit);
  const money = (value: number) => moneyText(value, currency);
  return [
    row('Panels', ({ panels }) => panels, count),
    row('Longest panel, size on roll', ({ longestFilm }) => longestFilm, film),
    row(
      'Feed error over the longest panel',
      ({ longestFilm }) => feedErrorOver(printer, longestFilm),
      length,
    ),
    row('People for the longest', ({ people }) => people, count, [
      'twoPeopleFromMeters',
      'threePeopleFromMeters',
    ]),
    row('Seams on flat', ({ seamMeters }) => seamMeters.flat, run),
    row('Seams on a curve', ({ seamMeters }) => seamMeters.curve, run),
    row('Seams in a recess', ({ seamMeters }) => seamMeters.recess, run),
    row('Seams in open view', ({ visibleMeters }) => visibleMeters, run, [
      'hidingShare.crease',
      'hidingShare.molding',
      'hidingShare.body-gap',
    ]),
    row('Lettering crossed', ({ letteringCrossed }) => letteringCrossed, count, [
      'letteringMinutesPerCrossing',
    ]),
    row('Shop trims', ({ shopTrims }) => shopTrims, count),
    row('Film', ({ filmSquareMeters }) => filmSquareMeters, area, ['offcutWasteShare']),
    row('Laminate', ({ laminateSquareMeters }) => laminateSquareMeters, area, ['offcutWasteShare']),
    row('Waste', ({ wasteShare }) => wasteShare, shareText, ['offcutWasteShare']),
    row('Installing', ({ installMinutes }) => installMinutes, workText, INSTALL_INPUTS),
    row(
      'Matching picture and lettering',
      ({ matchingMinutes }) => matchingMinutes,
      workText,
      MATCHING_INPUTS,
    ),
    row('In the shop', ({ shopMinutes }) => shopMinutes, workText, SHOP_INPUTS),
    row('Film money', ({ filmMoney }) => filmMoney, money, ['filmPerSquareMeter', 'offcutWasteShare']),
    row('Laminate money', ({ laminateMoney }) => laminateMoney, money, [
      'laminatePerSquareMeter',
      'offcutWasteShare',
    ]),
    row('Labor money', ({ laborMoney }) => laborMoney, money, [
      'laborPerHour',
      ...INSTALL_INPUTS,
      ...MATCHING_INPUTS,
      ...SHOP_INPUTS,
    ]),
    row('Money spent', (figures) => figures.money, money, SPENT_INPUTS),
    row('Visible-seam penalty (not cash)', ({ visibleWorth }) => visibleWorth, money, [
      'visibleSeamPerMeter',
    ]),
    // What the plan of lowest cost is lowest in.
    row('Cost', (figures) => figures.money + figures.visibleWorth, money, [
      ...SPENT_INPUTS,
      'visibleSeamPerMeter',
    ]),
  ];
}

const SPENT_INPUTS = [
  'laborPerHour',
  'filmPerSquareMeter',
  'laminatePerSquareMeter',
] as const satisfies readonly CardPath[];

const INSTALL_INPUTS = [
  'seamMinutesPerMeter.flat',
  'seamMinutesPerMeter.curve',
  'seamMinutesPerMeter.recess',
  'seamMinutesPerMeter.gap',
  'siteTrimMinutesPerMeter',
  'panelInstallMinutes',
  'panelInstallMinutesPerMeter',
  'twoPeopleFromMeters',
  'threePeopleFromMeters',
  'installMinutesPerSquareMeter',
  'crossingMinutesPerMeter.crease',
  'crossingMinutesPerMeter.molding',
  'crossingMinutesPerMeter.body-gap',
  'crossingMinutesPerMeter.rivet-row',
] as const satisfies readonly CardPath[];

const MATCHING_INPUTS = [
  'pictureMinutesPerMeter',
  'letteringMinutesPerCrossing',
] as const satisfies readonly CardPath[];

const SHOP_INPUTS = [
  'shopTrimMinutesPerEdge',
  'shopTrimMinutesPerMeter',
  'panelShopMinutes',
  'shopMinutesPerRollMeter',
] as const satisfies readonly CardPath[];

/** Rows in which no plan has anything, such as recesses on a box body, only take room. */
export const rowsToShow = (rows: readonly FigureRow[], plans: readonly PlanFigures[]): FigureRow[] =>
  rows.filter(
    ({ name, value }) =>
      !/curve|recess|Laminate|Matching/.test(name) || plans.some((figures) => value(figures) > 0),
  );

/** Whether a plan is the best of the row, where the plans differ to the eye. Less is better in every row. */
export function isBestOf(row: FigureRow, mine: PlanFigures, plans: readonly PlanFigures[]): boolean {
  const texts = new Set(plans.map(row.text));
  const least = Math.min(...plans.map(row.value));
  return (
    texts.size > 1 && row.text(mine) === row.text(foundIn(plans, (figures) => row.value(figures) === least))
  );
}

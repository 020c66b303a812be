/** The table of figures: a row for each thing that plans are compared by, with what it was worked out from. */
import type { PlanFigures } from '../../core/seams/plan-figures.ts';
import { areaText, moneyText, runText, shareText, workText } from '../parts/quantity-text.ts';
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

export function figureRows({ unit, currency }: PlanUnits): readonly FigureRow[] {
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
  const run = (metres: number) => runText(metres, unit);
  const area = (squareMetres: number) => areaText(squareMetres, unit);
  const money = (value: number) => moneyText(value, currency);
  return [
    row('Panels', ({ panels }) => panels, count),
    row('Seams on flat', ({ seamMetres }) => seamMetres.flat, run),
    row('Seams on a curve', ({ seamMetres }) => seamMetres.curve, run),
    row('Seams in a recess', ({ seamMetres }) => seamMetres.recess, run),
    row('Seams in open view', ({ visibleMetres }) => visibleMetres, run, [
      'hidingShare.crease',
      'hidingShare.moulding',
      'hidingShare.panel-gap',
      'hidingShare.rivet-row',
    ]),
    row('Lettering crossed', ({ letteringCrossed }) => letteringCrossed, count, [
      'letteringMinutesPerCrossing',
    ]),
    row('Shop trims', ({ shopTrims }) => shopTrims, count),
    row('Film', ({ filmSquareMetres }) => filmSquareMetres, area, ['offcutWasteShare']),
    row('Laminate', ({ laminateSquareMetres }) => laminateSquareMetres, area, ['offcutWasteShare']),
    row('Waste', ({ wasteShare }) => wasteShare, shareText, ['offcutWasteShare']),
    row('Installing', ({ installMinutes }) => installMinutes, workText, INSTALL_INPUTS),
    row('In the shop', ({ shopMinutes }) => shopMinutes, workText, SHOP_INPUTS),
    row('Film money', ({ filmMoney }) => filmMoney, money, ['filmPerSquareMetre', 'offcutWasteShare']),
    row('Laminate money', ({ laminateMoney }) => laminateMoney, money, [
      'laminatePerSquareMetre',
      'offcutWasteShare',
    ]),
    row('Labour money', ({ labourMoney }) => labourMoney, money, [
      'labourPerHour',
      ...INSTALL_INPUTS,
      ...SHOP_INPUTS,
    ]),
    row('Money spent', (figures) => figures.money, money, SPENT_INPUTS),
    row('Worth that open seams take', ({ visibleWorth }) => visibleWorth, money, ['visibleSeamPerMetre']),
    // What the plan of lowest cost is lowest in.
    row('Cost', (figures) => figures.money + figures.visibleWorth, money, [
      ...SPENT_INPUTS,
      'visibleSeamPerMetre',
    ]),
  ];
}

const SPENT_INPUTS = [
  'labourPerHour',
  'filmPerSquareMetre',
  'laminatePerSquareMetre',
] as const satisfies readonly CardPath[];

const INSTALL_INPUTS = [
  'seamMinutesPerMetre.flat',
  'seamMinutesPerMetre.curve',
  'seamMinutesPerMetre.recess',
  'seamMinutesPerMetre.gap',
  'pictureMinutesPerMetre',
  'letteringMinutesPerCrossing',
  'siteTrimMinutesPerMetre',
  'panelInstallMinutes',
  'installMinutesPerSquareMetre',
  'crossingMinutesPerMetre.crease',
  'crossingMinutesPerMetre.moulding',
  'crossingMinutesPerMetre.panel-gap',
  'crossingMinutesPerMetre.rivet-row',
] as const satisfies readonly CardPath[];

const SHOP_INPUTS = [
  'shopTrimMinutesPerEdge',
  'shopTrimMinutesPerMetre',
  'panelShopMinutes',
  'shopMinutesPerRollMetre',
] as const satisfies readonly CardPath[];

/** Rows in which no plan has anything, such as recesses on a box body, only take room. */
export const rowsToShow = (rows: readonly FigureRow[], plans: readonly PlanFigures[]): FigureRow[] =>
  rows.filter(({ name, value }) => !/curve|recess/.test(name) || plans.some((figures) => value(figures) > 0));

/** Whether a plan is the best of the row, where the plans differ to the eye. Less is better in every row. */
export function isBestOf(row: FigureRow, mine: PlanFigures, plans: readonly PlanFigures[]): boolean {
  const texts = new Set(plans.map(row.text));
  const least = Math.min(...plans.map(row.value));
  return (
    texts.size > 1 && row.text(mine) === row.text(plans.find((figures) => row.value(figures) === least)!)
  );
}

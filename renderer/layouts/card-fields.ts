/** The figures of the cost card: their names, and how to read and set them. */
import {
  type FigureUnit,
  figureInField,
  figureShown,
  figureStored,
} from '../../core/measure/figure-units.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import { present } from '../../core/measure/present.ts';
import { type CostCard, costCardSchema } from '../../core/shop/cost-card.ts';

type Dotted<T, Prefix extends string = ''> = {
  [K in keyof T & string]: T[K] extends number
    ? `${Prefix}${K}`
    : T[K] extends boolean
      ? never
      : Dotted<T[K], `${Prefix}${K}.`>;
}[keyof T & string];

/** Path of a figure in the card: `seamMinutesPerMeter.flat`. */
export type CardPath = Dotted<CostCard>;

export interface CardField {
  readonly path: CardPath;
  readonly label: string;
  /** What it applies to, where the label is not enough. */
  readonly hint?: string;
  /** Stored as a share of 1, shown in percent. */
  readonly isShare?: true;
}

const PRICES: readonly CardPath[] = ['laborPerHour', 'filmPerSquareMeter', 'laminatePerSquareMeter'];

/** Shown with cents. */
export const isPrice = ({ path }: CardField): boolean => PRICES.includes(path);

export interface CardGroup {
  readonly title: string;
  /** Purpose of the group's figures. */
  readonly about: string;
  readonly fields: readonly CardField[];
}

const field = (path: CardPath, label: string, hint?: string): CardField => ({
  path,
  label,
  ...(hint !== undefined && { hint }),
});
const share = (path: CardPath, label: string, hint?: string): CardField => ({
  ...field(path, label, hint),
  isShare: true,
});

export const CARD_GROUPS: readonly CardGroup[] = [
  {
    title: 'Prices',
    about: 'What an hour and a piece of material cost the shop.',
    fields: [
      field('laborPerHour', 'Labor, an hour'),
      field('filmPerSquareMeter', 'Film, a m²'),
      field('laminatePerSquareMeter', 'Laminate, a m²'),
      share(
        'offcutWasteShare',
        'Film beside panels that finds no use, %',
        'Of the film left beside the panels of a roll, the part that is thrown away. The rest prints small jobs.',
      ),
    ],
  },
  {
    title: 'Installing a seam, minutes a meter',
    about: 'One person’s minutes to bring the second panel to the first, by the ground under the seam.',
    fields: [
      field('seamMinutesPerMeter.flat', 'On flat'),
      field('seamMinutesPerMeter.curve', 'On a curve'),
      field('seamMinutesPerMeter.recess', 'In a recess'),
      field('seamMinutesPerMeter.gap', 'At a body gap'),
      field(
        'pictureMinutesPerMeter',
        'More, through the busiest picture',
        'On top of the ground, where neighbors must match; through plain color nothing is added.',
      ),
      field(
        'siteTrimMinutesPerMeter',
        'Trimming on the vehicle',
        'Cutting the trim-off of an overlap, over cutting tape.',
      ),
    ],
  },
  {
    title: 'Panels and pieces, minutes',
    about: 'One person’s minutes for each panel, edge or cut, wherever its seams are.',
    fields: [
      field(
        'letteringMinutesPerCrossing',
        'A line of small lettering cut by a seam',
        'Matched letter by letter, and often printed again. Large letters cost less.',
      ),
      field(
        'panelInstallMinutes',
        'Handling a panel on the vehicle',
        'Unrolling, hanging, squaring up and tacking it.',
      ),
      field('panelInstallMinutesPerMeter', 'More, a meter of its width and height, each person'),
      field('twoPeopleFromMeters', 'Two people for panels from, m'),
      field('threePeopleFromMeters', 'Three people for panels from, m'),
      field(
        'panelShopMinutes',
        'Handling a panel in the shop',
        'One file, one label, one check, one place in the box.',
      ),
      field('installMinutesPerSquareMeter', 'Squeegee work, a m²'),
      field('shopMinutesPerRollMeter', 'Printing and laminating, a meter of roll'),
      field(
        'shopTrimMinutesPerEdge',
        'An edge trimmed in the shop',
        'Finding it, setting the rule, checking.',
      ),
      field('shopTrimMinutesPerMeter', 'A meter of that cut', 'Added to the edge, by its length.'),
      field(
        'moveMinutesPerSeam',
        'A seam moved by replanning',
        'Keeps a layout that was looked at, unless moving pays.',
      ),
    ],
  },
  {
    title: 'What is seen',
    about:
      'No cash: what a seam in open view takes from the job’s worth, and how much of that a body line hides. A higher penalty moves seams to lines.',
    fields: [
      field('visibleSeamPerMeter', 'Visible-seam penalty, a meter'),
      share('hidingShare.crease', 'Hidden on a crease, %'),
      share('hidingShare.molding', 'Hidden on a molding, %'),
      share('hidingShare.body-gap', 'Hidden at a body gap, %'),
    ],
  },
  {
    title: 'Carrying a panel over a line, minutes a meter',
    about: 'One person’s minutes where a panel goes on across a body line, instead of ending there.',
    fields: [
      field('crossingMinutesPerMeter.crease', 'Crease'),
      field('crossingMinutesPerMeter.molding', 'Molding'),
      field('crossingMinutesPerMeter.body-gap', 'Body gap'),
      field('crossingMinutesPerMeter.rivet-row', 'Rivet row'),
    ],
  },
];

/** As costCardSchema has it. */
const MOST = 1_000_000;

type Branch = { readonly [key: string]: number | boolean | Branch };

/** The unit of the figure, according to its name. */
function figureUnit(path: CardPath): FigureUnit | undefined {
  if (path.includes('PerSquareMeter')) return 'per m²';
  if (path.endsWith('FromMeters')) return 'm';
  return /Per(Roll)?Meter/.test(path) ? 'per m' : undefined;
}

/** The figure as its field shows it: shares in percent, what counts by the meter by the foot in a job in inches. */
export function cardFigure(card: CostCard, { path, isShare }: CardField, unit: 'mm' | 'in'): number {
  const value = path
    .split('.')
    .reduce<Branch | number | boolean>(
      (branch, key) => present((branch as Branch)[key], `The figure ${path} of a cost card`),
      card as Branch,
    ) as number;
  const of = figureUnit(path);
  if (of) return figureInField(value, of, unit);
  return isShare ? value * 100 : value;
}

/** The card with one figure changed, or a sentence why the figure cannot be used. */
export function cardWith(
  card: CostCard,
  { path, isShare }: CardField,
  shown: number,
  unit: 'mm' | 'in',
): CostCard | string {
  const [outer, inner] = path.split('.') as [string, string | undefined];
  const of = figureUnit(path);
  const value = of ? figureStored(shown, of, unit) : isShare ? shown / 100 : shown;
  const branch = (card as Branch)[outer];
  const changed = {
    ...card,
    [outer]: inner === undefined ? value : { ...(branch as Branch), [inner]: value },
  };
  const read = costCardSchema.safeParse(changed);
  if (read.success) return read.data;
  return isShare
    ? 'Enter a share from 0 to 100 %.'
    : `Enter a figure from 0 to ${decimalText(of ? figureShown(MOST, of, unit) : MOST, 0)}.`;
}

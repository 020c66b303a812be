/** The figures of the cost card: what each is called and how it is read and set. */
import { type FigureUnit, figureShown, figureStored } from '../../core/measure/figure-units.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import { type CostCard, costCardSchema } from '../../core/shop/cost-card.ts';

type Dotted<T, Prefix extends string = ''> = {
  [K in keyof T & string]: T[K] extends number
    ? `${Prefix}${K}`
    : T[K] extends boolean
      ? never
      : Dotted<T[K], `${Prefix}${K}.`>;
}[keyof T & string];

/** A figure of the card by its way through it: `seamMinutesPerMetre.flat`. */
export type CardPath = Dotted<CostCard>;

export interface CardField {
  readonly path: CardPath;
  readonly label: string;
  /** Stored as a share of 1, shown in percent. */
  readonly isShare?: true;
}

const PRICES: readonly CardPath[] = ['labourPerHour', 'filmPerSquareMetre', 'laminatePerSquareMetre'];

/** Shown with cents. */
export const isPrice = ({ path }: CardField): boolean => PRICES.includes(path);

export interface CardGroup {
  readonly title: string;
  readonly fields: readonly CardField[];
}

const field = (path: CardPath, label: string): CardField => ({ path, label });
const share = (path: CardPath, label: string): CardField => ({ path, label, isShare: true });

export const CARD_GROUPS: readonly CardGroup[] = [
  {
    title: 'Prices',
    fields: [
      field('labourPerHour', 'Labour, an hour'),
      field('filmPerSquareMetre', 'Film, a m²'),
      field('laminatePerSquareMetre', 'Laminate, a m²'),
      share('offcutWasteShare', 'Film beside panels that finds no use, %'),
    ],
  },
  {
    title: 'Laying a seam, minutes a metre',
    fields: [
      field('seamMinutesPerMetre.flat', 'On flat'),
      field('seamMinutesPerMetre.curve', 'On a curve'),
      field('seamMinutesPerMetre.recess', 'In a recess'),
      field('seamMinutesPerMetre.gap', 'At a gap'),
      field('pictureMinutesPerMetre', 'More, through the busiest picture'),
      field('siteTrimMinutesPerMetre', 'Trimming on the vehicle'),
    ],
  },
  {
    title: 'Panels and pieces, minutes',
    fields: [
      field('letteringMinutesPerCrossing', 'A line of lettering cut by a seam'),
      field('panelInstallMinutes', 'Handling a panel on the vehicle'),
      field('panelShopMinutes', 'Handling a panel in the shop'),
      field('installMinutesPerSquareMetre', 'Squeegee work, a m²'),
      field('shopMinutesPerRollMetre', 'Printing and laminating, a metre of roll'),
      field('shopTrimMinutesPerEdge', 'An edge trimmed in the shop'),
      field('shopTrimMinutesPerMetre', 'A metre of that cut'),
      field('moveMinutesPerSeam', 'A seam moved by replanning'),
    ],
  },
  {
    title: 'What is seen',
    fields: [
      field('visibleSeamPerMetre', 'Worth that a metre of open seam takes'),
      share('hidingShare.crease', 'Hidden on a crease, %'),
      share('hidingShare.moulding', 'Hidden on a moulding, %'),
      share('hidingShare.panel-gap', 'Hidden at a panel gap, %'),
      share('hidingShare.rivet-row', 'Hidden on a rivet row, %'),
    ],
  },
  {
    title: 'Carrying a panel over a line, minutes a metre',
    fields: [
      field('crossingMinutesPerMetre.crease', 'Crease'),
      field('crossingMinutesPerMetre.moulding', 'Moulding'),
      field('crossingMinutesPerMetre.panel-gap', 'Panel gap'),
      field('crossingMinutesPerMetre.rivet-row', 'Rivet row'),
    ],
  },
];

/** As costCardSchema has it. */
const MOST = 1_000_000;

type Branch = { readonly [key: string]: number | boolean | Branch };

/** What a figure is counted for; its name says so. */
function figureUnit(path: CardPath): FigureUnit | undefined {
  if (path.includes('PerSquareMetre')) return 'per m²';
  return /Per(Roll)?Metre/.test(path) ? 'per m' : undefined;
}

/** The figure as it is shown: shares in percent, what counts by the metre by the foot in a job in inches. */
export function cardFigure(card: CostCard, { path, isShare }: CardField, unit: 'mm' | 'in'): number {
  const value = path
    .split('.')
    .reduce<Branch | number | boolean>((branch, key) => (branch as Branch)[key]!, card as Branch) as number;
  const of = figureUnit(path);
  if (of) return figureShown(value, of, unit);
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

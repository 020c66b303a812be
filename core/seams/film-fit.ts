import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type CostCard, panelPeople } from '../shop/cost-card.ts';
import type { PanelRates } from './plan-objective.ts';
import { type FilmRoll, type PlanSide, rollUsableWidth } from './plan-side.ts';
import type { SeamAxis } from './seam-place.ts';

/**
 * The length of roll charged for a piece of film, or undefined where it does not fit. The piece may be turned; the
 * smaller charge counts:
 *
 *     charge = along × (waste + (1 − waste) × across ÷ usable),   where across ≤ usable and along ≤ longest
 *
 * `waste` is the cost card's share of the film beside a panel that stays unused. It is an estimate, because only the
 * nesting knows: with 1 every panel pays for the whole width, with 0 only for itself. Film along the side must also
 * keep the crew's limit.
 */
export function rollLength(side: PlanSide, roll: FilmRoll, filmWidth: Mm, filmHeight: Mm): Mm | undefined {
  if (filmWidth > longestPanel(side) + LENGTH_TOLERANCE_MM) return undefined;
  const usable = rollUsableWidth(roll);
  const charge = (across: Mm, along: Mm): number =>
    across <= usable + LENGTH_TOLERANCE_MM && along <= roll.longest + LENGTH_TOLERANCE_MM
      ? along * widthShare(side.card, across / usable)
      : Number.POSITIVE_INFINITY;
  const least = Math.min(charge(filmWidth, filmHeight), charge(filmHeight, filmWidth));
  return least === Number.POSITIVE_INFINITY ? undefined : least;
}

/** Keeps SP28. */
const longestPanel = (side: PlanSide): Mm => side.longestPanel ?? Number.POSITIVE_INFINITY;

/** Cost of one panel's film, without trimming edges; Infinity where it does not fit. */
export function panelFilmUnits(
  side: PlanSide,
  roll: FilmRoll,
  rates: PanelRates,
  filmWidth: Mm,
  filmHeight: Mm,
): number {
  const length = rollLength(side, roll, filmWidth, filmHeight);
  if (length === undefined) return Number.POSITIVE_INFINITY;
  const people = panelPeople(side.card, Math.max(filmWidth, filmHeight));
  return rates.perPanel + rates.perRollMm * length + people * rates.perPersonMm * (filmWidth + filmHeight);
}

const widthShare = (card: CostCard, filled: number): number =>
  card.offcutWasteShare + (1 - card.offcutWasteShare) * filled;

/**
 * One way to place and install a panel, as a price by its film length f along a sequence for a fixed film length
 * across: `base + perMm · f` for f up to `widest`.
 */
export interface PriceBranch {
  readonly base: number;
  readonly perMm: number;
  readonly widest: Mm;
}

/**
 * The price of a panel by its film: the lowest price of all branches, impossible where no branch applies. Empty where
 * the film length across fits in neither orientation. All panels of a sequence share that length, so the search for
 * seam positions needs no other data about film. More people cost more at every f, so the branches with the fewest
 * people come first.
 */
export type PanelPrice = readonly PriceBranch[];

/** Two orientations of a panel, each with one, two or three people. */
export const MOST_BRANCHES = 6;

/** The price for the panels of a sequence of seams of an axis. Keeps SP6. */
export function panelPrice(
  side: PlanSide,
  roll: FilmRoll,
  axis: SeamAxis,
  filmAcross: Mm,
  rates: PanelRates,
): PanelPrice {
  const { card } = side;
  const usable = rollUsableWidth(roll);
  const most = axis === 'vertical' ? longestPanel(side) : Number.POSITIVE_INFINITY;
  if (axis === 'horizontal' && filmAcross > longestPanel(side) + LENGTH_TOLERANCE_MM) return [];
  const ways: PriceBranch[] = [];
  if (filmAcross <= roll.longest + LENGTH_TOLERANCE_MM) {
    const perLength = rates.perRollMm * filmAcross;
    ways.push({
      base: rates.perPanel + perLength * card.offcutWasteShare,
      perMm: (perLength * (1 - card.offcutWasteShare)) / usable,
      widest: Math.min(usable, most),
    });
  }
  if (filmAcross <= usable + LENGTH_TOLERANCE_MM) {
    ways.push({
      base: rates.perPanel,
      perMm: rates.perRollMm * widthShare(card, filmAcross / usable),
      widest: Math.min(roll.longest, most),
    });
  }
  return ways.flatMap((way) => handledBy(card, rates, filmAcross, way));
}

/** One orientation of a panel, once for each number of people that its film may need. Keeps SP29. */
function handledBy(card: CostCard, rates: PanelRates, filmAcross: Mm, way: PriceBranch): PriceBranch[] {
  const reaches = [
    card.twoPeopleFromMeters * 1000,
    card.threePeopleFromMeters * 1000,
    Number.POSITIVE_INFINITY,
  ];
  const branches: PriceBranch[] = [];
  for (const reach of reaches) {
    const people = panelPeople(card, Math.max(filmAcross, Math.min(reach, way.widest)));
    const widest = Math.min(reach, way.widest);
    if (filmAcross > reach + LENGTH_TOLERANCE_MM || branches.at(-1)?.widest === widest) continue;
    branches.push({
      base: way.base + people * rates.perPersonMm * filmAcross,
      perMm: way.perMm + people * rates.perPersonMm,
      widest,
    });
  }
  return branches;
}

export function panelPriceAt(price: PanelPrice, filmWidth: Mm): number {
  let least = Number.POSITIVE_INFINITY;
  // An explicit loop, because this runs for every millimeter of every sequence.
  for (const branch of price) {
    if (filmWidth > branch.widest + LENGTH_TOLERANCE_MM) continue;
    const value = branch.base + branch.perMm * filmWidth;
    if (value < least) least = value;
  }
  return least;
}

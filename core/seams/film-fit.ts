import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type CostCard, panelPeople } from '../shop/cost-card.ts';
import type { PanelRates } from './plan-objective.ts';
import { type FilmRoll, type PlanSide, rollUsableWidth } from './plan-side.ts';
import type { SeamAxis } from './seam-place.ts';

/**
 * The length of roll that a piece of film is charged with, or undefined where it does not fit. It may lie either
 * way, across × along or turned; the smaller charge counts:
 *
 *     charge = along × (waste + (1 − waste) × across ÷ usable),   where across ≤ usable and along ≤ longest
 *
 * `waste` is the card's share of the film beside a panel that finds no use. An estimate: with 1 every panel pays
 * for the whole width, with 0 only for itself; only the roll plan knows. Film that is along the side fits the crew too.
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

/** What one panel costs by its film, without edges to trim; Infinity where it does not fit. */
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
 * One way of laying and installing a panel, as a price by the film's measure f along a sequence when its measure across is
 * settled: `base + perMm · f` for f up to `widest`.
 */
export interface PriceBranch {
  readonly base: number;
  readonly perMm: number;
  readonly widest: Mm;
}

/**
 * The price of a panel by its film: the smallest that a branch offers, impossible where none does. Empty where the
 * measure across fits neither way. A sequence's panels all share that measure, so this is all that the search for seam
 * positions needs to know about film. More people cost more for every f, so the fewest that a panel takes come first.
 */
export type PanelPrice = readonly PriceBranch[];

/** Two ways of laying a panel, each with one, two or three people. */
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

/** A way of laying a panel, once for each number of people that its film may take. Keeps SP29. */
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
  // Counted by hand: this is asked for every millimeter of every sequence.
  for (const branch of price) {
    if (filmWidth > branch.widest + LENGTH_TOLERANCE_MM) continue;
    const value = branch.base + branch.perMm * filmWidth;
    if (value < least) least = value;
  }
  return least;
}

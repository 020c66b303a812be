import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { CostCard } from '../shop/cost-card.ts';
import { type FilmRoll, type PlanSide, rollUsableWidth } from './plan-side.ts';

/**
 * The length of roll that a piece of film is charged with, or undefined where it does not fit. It may lie either
 * way, across × along or turned; the smaller charge counts:
 *
 *     charge = along × (waste + (1 − waste) × across ÷ usable),   where across ≤ usable and along ≤ longest,
 *                                                                 neither longer than a page
 *
 * `waste` is the card's share of the film beside a panel that finds no use. An estimate: with 1 every panel pays
 * for the whole width, with 0 only for itself; only the roll plan knows.
 */
export function rollLength(side: PlanSide, roll: FilmRoll, filmWidth: Mm, filmHeight: Mm): Mm | undefined {
  const most = filmMost(side, roll);
  const usable = rollUsableWidth(roll);
  const charge = (across: Mm, along: Mm): number =>
    across <= most.across + LENGTH_TOLERANCE_MM && along <= most.along + LENGTH_TOLERANCE_MM
      ? along * widthShare(side.card, across / usable)
      : Number.POSITIVE_INFINITY;
  const least = Math.min(charge(filmWidth, filmHeight), charge(filmHeight, filmWidth));
  return least === Number.POSITIVE_INFINITY ? undefined : least;
}

/** The largest film that a roll and a page of the output can hold. */
export function filmMost({ longestPage = Number.POSITIVE_INFINITY }: PlanSide, roll: FilmRoll) {
  return {
    across: Math.min(rollUsableWidth(roll), longestPage),
    along: Math.min(roll.longest, longestPage),
  };
}

const widthShare = (card: CostCard, filled: number): number =>
  card.offcutWasteShare + (1 - card.offcutWasteShare) * filled;

/**
 * One way of laying a panel on the roll, as a price by the film's width f when its height is settled:
 * `base + perMm · f` for f up to `widest`.
 */
export interface PriceBranch {
  readonly base: number;
  readonly perMm: number;
  readonly widest: Mm;
}

/**
 * The price of a panel by its film's width: the smallest that a branch offers, impossible where none does. Empty
 * where the height fits neither way. A run's panels all share their height, so this is all that the search for
 * seam positions needs to know about film.
 */
export type PanelPrice = readonly PriceBranch[];

export function panelPrice(
  side: PlanSide,
  roll: FilmRoll,
  filmHeight: Mm,
  { perPanel, perRollMm }: { readonly perPanel: number; readonly perRollMm: number },
): PanelPrice {
  const { card } = side;
  const most = filmMost(side, roll);
  const usable = rollUsableWidth(roll);
  const branches: PriceBranch[] = [];
  if (filmHeight <= most.along + LENGTH_TOLERANCE_MM) {
    const perLength = perRollMm * filmHeight;
    branches.push({
      base: perPanel + perLength * card.offcutWasteShare,
      perMm: (perLength * (1 - card.offcutWasteShare)) / usable,
      widest: most.across,
    });
  }
  if (filmHeight <= most.across + LENGTH_TOLERANCE_MM) {
    branches.push({
      base: perPanel,
      perMm: perRollMm * widthShare(card, filmHeight / usable),
      widest: most.along,
    });
  }
  return branches;
}

export function panelPriceAt(price: PanelPrice, filmWidth: Mm): number {
  let least = Number.POSITIVE_INFINITY;
  // Counted by hand: this is asked for every millimeter of every run.
  for (let i = 0; i < price.length; i++) {
    const branch = price[i]!;
    if (filmWidth > branch.widest + LENGTH_TOLERANCE_MM) continue;
    const value = branch.base + branch.perMm * filmWidth;
    if (value < least) least = value;
  }
  return least;
}

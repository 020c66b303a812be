import { z } from 'zod';
import { type CostCard, laborCost } from '../shop/cost-card.ts';
import type { PlanStock } from './plan-side.ts';
import type { SeamCost } from './seam-parts.ts';

/** What a plan may be best at. */
export const PlanAim = z.enum([
  'lowest-cost',
  'least-lettering',
  'fewest-panels',
  'least-film',
  'fastest-install',
  'fewest-shop-trims',
  'best-hidden',
]);
export type PlanAim = z.infer<typeof PlanAim>;
export const PLAN_AIMS = PlanAim.options;

/** Price in money of one unit of each thing that a plan uses. The objective of a plan is the sum. */
export interface PlanWeights {
  readonly installMinute: number;
  readonly shopMinute: number;
  readonly filmSquareMeter: number;
  readonly visibleMeter: number;
  /** For each line of lettering that a seam cuts. */
  readonly letteringLine: number;
  readonly panel: number;
  /** For each edge of a panel that is trimmed in the shop. */
  readonly shopTrim: number;
  /** For each seam that an earlier plan did not have. */
  readonly movedSeam: number;
}

/**
 * Objectives are counted in millionths of the currency. Costs of seams and panels are whole numbers, so that equal
 * seams compare as equal, and a rule breaks ties rather than the last bits of a sum.
 */
export const UNITS_PER_MONEY = 1_000_000;

/**
 * How much an aim outweighs money: enough that money only decides between plans that are equally good at the
 * aim (to about a hundredth of its unit), small enough for sums to stay exact in a double (below 2^53 units).
 */
const AIM_WEIGHT = 10_000;

export function weightsFromAim(card: CostCard, aim: PlanAim): PlanWeights {
  const minute = laborCost(card, 1);
  const aimed = (mine: PlanAim): number => (mine === aim ? AIM_WEIGHT : 0);
  return {
    installMinute: minute + aimed('fastest-install'),
    shopMinute: minute,
    filmSquareMeter: card.filmPerSquareMeter + card.laminatePerSquareMeter + aimed('least-film'),
    visibleMeter: card.visibleSeamPerMeter + aimed('best-hidden'),
    letteringLine: aimed('least-lettering'),
    panel: aimed('fewest-panels'),
    shopTrim: aimed('fewest-shop-trims'),
    movedSeam: card.moveMinutesPerSeam * minute,
  };
}

export const NO_WEIGHTS: PlanWeights = {
  installMinute: 0,
  shopMinute: 0,
  filmSquareMeter: 0,
  visibleMeter: 0,
  letteringLine: 0,
  panel: 0,
  shopTrim: 0,
  movedSeam: 0,
};

export const seamUnits = (weights: PlanWeights, cost: SeamCost, isMoved: boolean): number =>
  Math.round(
    UNITS_PER_MONEY *
      (weights.installMinute * cost.installMinutes +
        weights.shopMinute * cost.shopMinutes +
        weights.visibleMeter * cost.visibleMeters +
        weights.letteringLine * cost.letteringLines +
        (isMoved ? weights.movedSeam : 0)),
  );

/**
 * Rates of a panel in units: fixed cost besides film, cost per millimeter of roll, cost per trimmed edge, and per
 * installer the cost per millimeter of its width and height.
 */
export interface PanelRates {
  readonly perPanel: number;
  readonly perPersonMm: number;
  readonly perRollMm: number;
  readonly perTrim: number;
}

export function panelRates(card: CostCard, weights: PlanWeights, stock: PlanStock): PanelRates {
  return {
    perPanel: Math.round(
      UNITS_PER_MONEY *
        (weights.installMinute * card.panelInstallMinutes +
          weights.shopMinute * card.panelShopMinutes +
          weights.panel),
    ),
    perPersonMm: (UNITS_PER_MONEY * weights.installMinute * card.panelInstallMinutesPerMeter) / 1000,
    perRollMm:
      UNITS_PER_MONEY *
      (weights.filmSquareMeter * (stock.roll.width / 1e6) +
        weights.shopMinute * (card.shopMinutesPerRollMeter / 1000)),
    perTrim: Math.round(
      UNITS_PER_MONEY * (weights.shopMinute * card.shopTrimMinutesPerEdge + weights.shopTrim),
    ),
  };
}

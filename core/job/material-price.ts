import { type CostCard, ESTIMATED_COST_CARD } from '../shop/cost-card.ts';
import type { ShelfItem } from '../shop/shelf.ts';
import type { Job } from './schema.ts';

/** Whose figure a price is: of the shelf item that the job is printed on, of the shop's cost card, or a built-in guess. */
export type PriceSource = 'shelf' | 'card' | 'estimate';

export interface AreaPrice {
  readonly perM2: number;
  readonly from: PriceSource;
}

/** As a ticket and a screen say it after `Film` or `Laminate`. */
export const PRICE_SOURCE_NAMES: Readonly<Record<PriceSource, string>> = {
  shelf: 'shelf price',
  card: 'cost card',
  estimate: 'estimated price',
};

/**
 * The one price that a film or laminate has in a job: that of the item chosen from the shelf, and where none is chosen
 * or it was entered without a price, that of the cost card.
 */
export function materialPrice(job: Pick<Job, 'production' | 'costCard'>, use: ShelfItem['use']): AreaPrice {
  const item = job.production?.[use];
  if (item && item.pricePerM2 > 0) return { perM2: item.pricePerM2, from: 'shelf' };
  const card: CostCard = job.costCard ?? ESTIMATED_COST_CARD;
  const perM2 = use === 'film' ? card.filmPerSquareMeter : card.laminatePerSquareMeter;
  return { perM2, from: card.isEstimate ? 'estimate' : 'card' };
}

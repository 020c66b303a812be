import { type CostCard, ESTIMATED_COST_CARD } from '../shop/cost-card.ts';
import type { ShelfItem } from '../shop/shelf.ts';
import type { Job } from './schema.ts';

/** Source of a price: the shelf item of the job, the shop's cost card, or a built-in estimate. */
export type PriceSource = 'shelf' | 'card' | 'estimate';

export interface AreaPrice {
  readonly perM2: number;
  readonly from: PriceSource;
}

/** Shown on tickets and screens after `Film` or `Laminate`. */
export const PRICE_SOURCE_NAMES: Readonly<Record<PriceSource, string>> = {
  shelf: 'shelf price',
  card: 'cost card',
  estimate: 'estimated price',
};

/**
 * The price of a film or laminate in a job: that of the selected shelf item; where none is selected or it has no price,
 * that of the cost card.
 */
export function materialPrice(job: Pick<Job, 'production' | 'costCard'>, use: ShelfItem['use']): AreaPrice {
  const item = job.production?.[use];
  if (item && item.pricePerM2 > 0) return { perM2: item.pricePerM2, from: 'shelf' };
  const card: CostCard = job.costCard ?? ESTIMATED_COST_CARD;
  const perM2 = use === 'film' ? card.filmPerSquareMeter : card.laminatePerSquareMeter;
  return { perM2, from: card.isEstimate ? 'estimate' : 'card' };
}

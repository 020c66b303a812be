import type { Job } from '../job/schema.ts';
import { jobProductionSettings } from '../production/job-production.ts';
import { materialPrice } from '../production/material-price.ts';
import { type CostCard, ESTIMATED_COST_CARD } from '../shop/cost-card.ts';

/**
 * The card that a job's plans are counted with: film and laminate cost what the items from the shelf cost, so that a
 * plan and a ticket never tell two prices for the same square meter.
 */
export const jobCostCard = (job: Job): CostCard => ({
  ...ownCostCard(job),
  filmPerSquareMeter: materialPrice(job, 'film').perM2,
  laminatePerSquareMeter: materialPrice(job, 'laminate').perM2,
});

/**
 * The card as it is kept and edited. An hour of labor costs what production says that it costs: the rate is kept there
 * alone, so that a plan and a ticket never tell two prices for the same hour.
 */
export function ownCostCard(job: Job): CostCard {
  const card = job.costCard ?? ESTIMATED_COST_CARD;
  const { laborPerHour } = jobProductionSettings(job).figures;
  return laborPerHour === card.laborPerHour ? card : { ...card, laborPerHour };
}

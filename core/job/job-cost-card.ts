import { type CostCard, ESTIMATED_COST_CARD } from '../shop/cost-card.ts';
import { jobProductionSettings } from './job-production-settings.ts';
import { materialPrice } from './material-price.ts';
import type { Job } from './schema.ts';

/**
 * The card that a job's plans are counted with: film and laminate cost what the items from the shelf cost, so that a
 * plan and a ticket never tell two prices for the same square meter. What is not laminated pays for no laminate.
 */
export const jobCostCard = (job: Job): CostCard => ({
  ...ownCostCard(job),
  filmPerSquareMeter: materialPrice(job, 'film').perM2,
  laminatePerSquareMeter: isLaminated(job) ? materialPrice(job, 'laminate').perM2 : 0,
});

/** Whether a laminate goes on the prints: the job names one, or production has chosen one from the shelf. */
export const isLaminated = ({ laminate, production }: Pick<Job, 'laminate' | 'production'>): boolean =>
  laminate !== undefined || production?.laminate !== undefined;

/**
 * The card as it is kept and edited. An hour of labor costs what production says that it costs: the rate is kept there
 * alone, so that a plan and a ticket never tell two prices for the same hour.
 */
export function ownCostCard(job: Job): CostCard {
  const card = job.costCard ?? ESTIMATED_COST_CARD;
  const { laborPerHour } = jobProductionSettings(job).figures;
  return laborPerHour === card.laborPerHour ? card : { ...card, laborPerHour };
}

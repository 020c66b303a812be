import { type CostCard, ESTIMATED_COST_CARD } from '../shop/cost-card.ts';
import { jobProductionSettings } from './job-production-settings.ts';
import { materialPrice } from './material-price.ts';
import type { Job } from './schema.ts';

/**
 * The cost card for the panel layouts of a job: film and laminate are priced by the items from the shelf, so that
 * layout and ticket show the same price per square meter. Without laminate, its price is zero.
 */
export const jobCostCard = (job: Job): CostCard => ({
  ...ownCostCard(job),
  filmPerSquareMeter: materialPrice(job, 'film').perM2,
  laminatePerSquareMeter: isLaminated(job) ? materialPrice(job, 'laminate').perM2 : 0,
});

/** Whether the prints are laminated: the job names a laminate, or production has selected one from the shelf. */
export const isLaminated = ({ laminate, production }: Pick<Job, 'laminate' | 'production'>): boolean =>
  laminate !== undefined || production?.laminate !== undefined;

/**
 * The card as stored and edited. The hourly labor rate is stored only in production, so that layout and ticket show the
 * same rate.
 */
export function ownCostCard(job: Job): CostCard {
  const card = job.costCard ?? ESTIMATED_COST_CARD;
  const { laborPerHour } = jobProductionSettings(job).figures;
  return laborPerHour === card.laborPerHour ? card : { ...card, laborPerHour };
}

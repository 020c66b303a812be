import { DEFAULT_PRODUCTION, type ProductionSettings } from '../shop/production-settings.ts';
import type { Job } from './schema.ts';

/**
 * Production settings of a job. Unless set, they come from the shop's defaults. If those are missing too, the hourly
 * labor rate comes from the cost card, where older jobs stored it.
 */
export function jobProductionSettings({ production, productionDefaults, costCard }: Job): ProductionSettings {
  if (production) return production;
  if (productionDefaults) return { ...DEFAULT_PRODUCTION, ...productionDefaults };
  if (!costCard || costCard.laborPerHour === DEFAULT_PRODUCTION.figures.laborPerHour)
    return DEFAULT_PRODUCTION;
  const figures = { ...DEFAULT_PRODUCTION.figures, laborPerHour: costCard.laborPerHour };
  return { ...DEFAULT_PRODUCTION, figures };
}

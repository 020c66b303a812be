import { DEFAULT_PRODUCTION, type ProductionSettings } from '../shop/production-settings.ts';
import type { Job } from './schema.ts';

/**
 * What production counts with. Before anybody has set it, that is what the shop's jobs begin with; without that, an hour of
 * labor costs what an older job's cost card says: the card held the rate until production had it alone.
 */
export function jobProductionSettings({ production, productionDefaults, costCard }: Job): ProductionSettings {
  if (production) return production;
  if (productionDefaults) return { ...DEFAULT_PRODUCTION, ...productionDefaults };
  if (!costCard || costCard.laborPerHour === DEFAULT_PRODUCTION.figures.laborPerHour)
    return DEFAULT_PRODUCTION;
  const figures = { ...DEFAULT_PRODUCTION.figures, laborPerHour: costCard.laborPerHour };
  return { ...DEFAULT_PRODUCTION, figures };
}

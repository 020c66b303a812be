/** Estimates as the screen writes them. */
import { decimalText } from '../../core/measure/length-text.ts';
import type { Estimate, EstimateInput, JobEstimates } from '../../core/production/estimate.ts';
import { areaText, moneyText, workText } from '../parts/quantity-text.ts';

export function estimateText({ value, unit }: Estimate, currency: string, system: 'mm' | 'in'): string {
  switch (unit) {
    case 'm²':
      return areaText(value, system);
    case 'min':
      return workText(value);
    case 'money':
      return moneyText(value, currency);
    case '%':
      return `${decimalText(value, 0)} %`;
    default:
      return `${decimalText(value, unit === 'ml' ? 0 : 1)} ${unit}`;
  }
}

/** Inputs keep the units that the shop's figures are in, so that the sum can be done again by hand. */
export const inputText = ({ value, unit }: EstimateInput): string =>
  `${decimalText(value, 2)} ${unit}`.trim();

/** In the order of the work; what cannot be told yet is left out. */
export const estimateList = (estimates: JobEstimates): readonly Estimate[] =>
  [
    estimates.film,
    estimates.waste,
    estimates.laminate,
    estimates.ink,
    estimates.printTime,
    estimates.laminationTime,
    estimates.trimTime,
    estimates.packTime,
    estimates.cost,
  ].filter((estimate) => estimate !== undefined);

/** Estimates as the screen writes them. */
import { type FigureUnit, figureLabel, figureShown } from '../../core/measure/figure-units.ts';
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

const INPUT_UNITS: Readonly<Record<string, FigureUnit>> = {
  m: 'm',
  'm/h': 'm',
  'm²': 'm²',
  'm²/h': 'm²',
  'ml/m²': 'per m²',
};

/** Inputs are in the units of the shop's figures below them, so that the sum can be done again by hand. */
export function inputText({ value, unit }: EstimateInput, system: 'mm' | 'in'): string {
  const of = INPUT_UNITS[unit];
  const shown = of ? figureShown(value, of, system) : value;
  return `${decimalText(shown, 2)} ${of ? figureLabel(unit, system) : unit}`.trim();
}

/** In the order of the work; what is not known yet is left out. */
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
    estimates.installTime,
    estimates.cost,
  ].filter((estimate) => estimate !== undefined);

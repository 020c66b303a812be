import { MM_PER_INCH } from './units.ts';

/** Unit of a shop figure: thicknesses, lengths, areas, and prices or times for one of them. Stored metric. */
export type FigureUnit = 'µm' | 'mm' | 'm' | 'm²' | 'per m' | 'per m²';

/** Exact by definition (NIST SP 811, B.8): 1 ft = 0.3048 m, 1 ft² = 0.09290304 m². */
const M_PER_FT = 0.3048;
const M2_PER_FT2 = 0.09290304;
/** A mil is a thousandth of an inch. */
const UM_PER_MIL = 25.4;

/** A figure in the job's unit: 26.909776 for a square meter is 2.5 for a square foot. */
export function figureShown(stored: number, of: FigureUnit, unit: 'mm' | 'in'): number {
  if (unit === 'mm') return stored;
  switch (of) {
    case 'µm':
      return stored / UM_PER_MIL;
    case 'mm':
      return stored / MM_PER_INCH;
    case 'm':
      return stored / M_PER_FT;
    case 'm²':
      return stored / M2_PER_FT2;
    case 'per m':
      return stored * M_PER_FT;
    case 'per m²':
      return stored * M2_PER_FT2;
  }
}

const DIGITS_ENTERED = 4;
const DIGITS_CONVERTED = 3;

/**
 * A figure in an edit field. A figure that was entered in metric units and has many digits in the other system is
 * rounded to three: 14 for a square meter is 1.3 for a square foot, not 1.30064256. A figure that was typed in the
 * field's unit comes back unchanged.
 */
export function figureInField(stored: number, of: FigureUnit, unit: 'mm' | 'in'): number {
  const shown = figureShown(stored, of, unit);
  const isConverted = unit === 'in' && Number(stored.toPrecision(DIGITS_ENTERED)) === stored;
  const cents = Math.round(shown * 100) / 100;
  if (!isConverted || Math.abs(shown - cents) < 1e-9 * Math.abs(shown)) return shown;
  return Math.abs(shown) < 1000 ? Number(shown.toPrecision(DIGITS_CONVERTED)) : Math.round(shown);
}

/** The stored figure for a typed one; shown again, it gives what was typed. */
export function figureStored(shown: number, of: FigureUnit, unit: 'mm' | 'in'): number {
  return unit === 'mm' ? shown : shown / figureShown(1, of, unit);
}

/** `Film, a m²` and `minutes a meter` for a job in inches: `Film, a ft²`, `minutes a foot`. */
export const figureLabel = (label: string, unit: 'mm' | 'in'): string =>
  unit === 'mm'
    ? label
    : label
        .replaceAll('m²', 'ft²')
        .replaceAll('µm', 'mil')
        .replaceAll('meter', 'foot')
        .replace(/\bm\b/g, 'ft')
        .replace(/\bmm\b/g, 'in');

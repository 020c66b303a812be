/** Areas, runs, times and money as the screens write them: rounded to what an estimate can bear, in the job's system. */
import { figureShown } from '../../core/measure/figure-units.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import { wholeInchesText } from '../../core/measure/long-length.ts';

const MM_PER_M = 1000;
const MINUTES_PER_HOUR = 60;

/** A run that is too long for millimeters, to the nearest tenth of a meter or inch: `12.4 m`, `40' 8"`. */
export const metersText = (meters: number, unit: 'mm' | 'in'): string =>
  unit === 'mm' ? `${meters.toFixed(1)} m` : wholeInchesText(meters * MM_PER_M);

/** `18.2 m²`, `196 ft²`. */
export const areaText = (squareMeters: number, unit: 'mm' | 'in'): string =>
  unit === 'mm'
    ? `${squareMeters.toFixed(1)} m²`
    : `${decimalText(figureShown(squareMeters, 'm²', 'in'), 0)} ft²`;

/** Of small areas, such as what one seam takes. */
export const fineAreaText = (squareMeters: number, unit: 'mm' | 'in'): string =>
  unit === 'mm'
    ? `${squareMeters.toFixed(2)} m²`
    : `${decimalText(figureShown(squareMeters, 'm²', 'in'), 1)} ft²`;

/** Working time: minutes below two hours, else hours with one decimal. */
export const workText = (minutes: number): string =>
  minutes < 2 * MINUTES_PER_HOUR
    ? `${decimalText(minutes, 0)} min`
    : `${(minutes / MINUTES_PER_HOUR).toFixed(1)} h`;

/** Small sums with cents, others in whole units. */
export function moneyText(value: number, currency: string): string {
  if (Math.abs(value) >= 10) return `${decimalText(value, 0)} ${currency}`;
  const cents = Math.round(value * 100);
  return `${(cents === 0 ? 0 : cents / 100).toFixed(2)} ${currency}`;
}

/** A share from 0 to 1: `37 %`. */
export const shareText = (share: number): string => `${decimalText(share * 100, 0)} %`;

/** The size of a file: `812 bytes`, `48 kB`, `1.4 MB`. */
export function bytesText(bytes: number): string {
  if (bytes < 1000) return `${bytes} bytes`;
  if (bytes < 1e6) return `${(bytes / 1e3).toFixed(0)} kB`;
  return `${(bytes / 1e6).toFixed(1)} MB`;
}

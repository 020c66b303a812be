import { lengthText } from './length-text.ts';
import { MM_PER_FOOT, MM_PER_INCH, type Mm } from './units.ts';

/**
 * From this length on, a length is shown in meters, or in feet and inches: 1,180 inches of film are hard to picture.
 */
export const LONG_LENGTH_MM: Readonly<Record<'mm' | 'in', Mm>> = { mm: 10_000, in: 10 * MM_PER_FOOT };

/**
 * A length on the ground or a place along a roll: `840 mm` and `42.73 m`, `93 1/2 in` and `98' 4"`. To the millimeter
 * or the sixteenth of an inch; sizes of panels and tape measurements at a seam stay in the job's unit. Keeps LEN6.
 */
export const longLengthText = (mm: Mm, unit: 'mm' | 'in'): string =>
  lengthText(mm, Math.abs(mm) < LONG_LENGTH_MM[unit] ? unit : longLengthFormat(unit));

const TENTHS = 10;
/** A rounding error in a whole tenth must not round it up. */
const ROUNDING_SLACK = 1e-9;

/**
 * A length of film that must be in stock: `42.73 m`, or `98.4 ft`, rounded up to a tenth of a foot where it is long.
 */
export function filmLengthText(mm: Mm, unit: 'mm' | 'in'): string {
  if (unit === 'mm' || Math.abs(mm) < LONG_LENGTH_MM.in) return longLengthText(mm, unit);
  return lengthText((Math.ceil((mm / MM_PER_FOOT) * TENTHS - ROUNDING_SLACK) / TENTHS) * MM_PER_FOOT, 'ft');
}

/**
 * The length of a roll: `45.72 m`, or `164 ft`, rounded down to a tenth, so that it never promises film that is not
 * there.
 */
export function rollLengthText(mm: Mm, unit: 'mm' | 'in'): string {
  if (unit === 'mm') return lengthText(mm, 'm');
  return lengthText((Math.floor((mm / MM_PER_FOOT) * TENTHS + ROUNDING_SLACK) / TENTHS) * MM_PER_FOOT, 'ft');
}

/**
 * A distance that is not measured with a tape, such as a viewing distance: `3 m`, `9.8 ft`, to the nearest tenth of a foot
 * or millimeter.
 */
export const viewingDistanceText = (mm: Mm, unit: 'mm' | 'in'): string =>
  unit === 'mm'
    ? lengthText(mm, 'm')
    : lengthText((Math.round((mm / MM_PER_FOOT) * TENTHS) / TENTHS) * MM_PER_FOOT, 'ft');

/** In feet and inches, to the nearest inch. */
export const wholeInchesText = (mm: Mm): string =>
  lengthText(Math.round(mm / MM_PER_INCH) * MM_PER_INCH, 'ft-in');

/** The format of long lengths, for columns and rulers with one format throughout. */
export const longLengthFormat = (unit: 'mm' | 'in'): 'm' | 'ft-in' => (unit === 'mm' ? 'm' : 'ft-in');

import { lengthText } from './length-text.ts';
import { MM_PER_FOOT, MM_PER_INCH, type Mm } from './units.ts';

/** From here on a run is told in meters, or in feet and inches: nobody pictures 1,180 inches of film. */
export const LONG_LENGTH_MM: Readonly<Record<'mm' | 'in', Mm>> = { mm: 10_000, in: 10 * MM_PER_FOOT };

/**
 * A length along film, a roll or the ground: `840 mm` and `42.73 m`, `93.5 in` and `98' 4"`. To the millimeter or to
 * the sixteenth of an inch where it is long; sizes of panels and what a tape reads at a seam stay in the job's unit.
 */
export const longLengthText = (mm: Mm, unit: 'mm' | 'in'): string =>
  lengthText(mm, Math.abs(mm) < LONG_LENGTH_MM[unit] ? unit : longLengthFormat(unit));

/**
 * A distance that nobody tapes, such as the one people look from: `3 m`, `9' 10"`, to the nearest inch or millimeter.
 */
export const viewingDistanceText = (mm: Mm, unit: 'mm' | 'in'): string =>
  unit === 'mm' ? lengthText(mm, 'm') : wholeInchesText(mm);

/** In feet and inches, to the nearest inch. */
export const wholeInchesText = (mm: Mm): string =>
  lengthText(Math.round(mm / MM_PER_INCH) * MM_PER_INCH, 'ft-in');

/** The format of long runs, for columns and rulers that keep to one. */
export const longLengthFormat = (unit: 'mm' | 'in'): 'm' | 'ft-in' => (unit === 'mm' ? 'm' : 'ft-in');

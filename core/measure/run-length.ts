import { lengthText } from './length-text.ts';
import { MM_PER_FOOT, type Mm } from './units.ts';

/** From here on a run is told in metres, or in feet and inches: nobody pictures 1,180 inches of film. */
export const LONG_RUN_MM: Readonly<Record<'mm' | 'in', Mm>> = { mm: 10_000, in: 10 * MM_PER_FOOT };

/**
 * A length along film, a roll or the ground: `840 mm` and `42.73 m`, `93.5 in` and `98' 4"`. To the millimetre or to
 * the sixteenth of an inch where it is long; sizes of panels and what a tape reads at a seam stay in the job's unit.
 */
export const runLengthText = (mm: Mm, unit: 'mm' | 'in'): string =>
  lengthText(mm, Math.abs(mm) < LONG_RUN_MM[unit] ? unit : runFormat(unit));

/** The format of long runs, for columns and rulers that keep to one. */
export const runFormat = (unit: 'mm' | 'in'): 'm' | 'ft-in' => (unit === 'mm' ? 'm' : 'ft-in');

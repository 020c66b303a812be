import { lengthText } from '../measure/length-text.ts';
import { MM_PER_FOOT, MM_PER_INCH, type Mm } from '../measure/units.ts';

export type DisplayUnit = 'mm' | 'in';

/**
 * A length as a tape is read: whole millimeters, or inches and sixteenths, without the unit. Unit and rounding are
 * stated once per page.
 */
export function sheetLength(mm: Mm, unit: DisplayUnit): string {
  return sheetLengthWithUnit(mm, unit).replace(/ (?:mm|in)$/, '');
}

export function sheetLengthWithUnit(mm: Mm, unit: DisplayUnit): string {
  return lengthText(unit === 'mm' ? Math.round(mm) : mm, unit).replaceAll('\u00a0', ' ');
}

/** A minimum length, rounded up to tape precision. */
export function sheetLengthUp(mm: Mm, unit: DisplayUnit): string {
  const step = unit === 'mm' ? 1 : MM_PER_INCH / 16;
  return sheetLength(Math.ceil(mm / step - ROUNDING_SLACK) * step, unit);
}

/** Precision of film lengths: a hundredth of a meter, a tenth of a foot. */
const FILM_STEP: Readonly<
  Record<DisplayUnit, { readonly mm: Mm; readonly decimals: number; readonly name: string }>
> = {
  mm: { mm: 10, decimals: 2, name: 'm' },
  in: { mm: MM_PER_FOOT / 10, decimals: 1, name: 'ft' },
};

/** A rounding error in a whole step must not add a step. */
const ROUNDING_SLACK = 1e-6;

/** Number of whole film steps that cover a length. */
const filmSteps = (mm: Mm, unit: DisplayUnit): number => Math.ceil(mm / FILM_STEP[unit].mm - ROUNDING_SLACK);

/** A place along a roll or a length of film, rounded up like the ruler beside it: `36.66 m`, `120.3 ft`. */
export function sheetFilmLength(mm: Mm, unit: DisplayUnit): string {
  const { decimals, name } = FILM_STEP[unit];
  return `${(filmSteps(mm, unit) / 10 ** decimals).toFixed(decimals)} ${name}`;
}

/** Difference of two film lengths as printed. */
export const sheetFilmDifference = (longerMm: Mm, shorterMm: Mm, unit: DisplayUnit): string =>
  sheetFilmLength((filmSteps(longerMm, unit) - filmSteps(shorterMm, unit)) * FILM_STEP[unit].mm, unit);

/** `1200 × 2300`, width first. */
export const sheetSize = (size: { readonly width: Mm; readonly height: Mm }, unit: DisplayUnit): string =>
  `${sheetLength(size.width, unit)} × ${sheetLength(size.height, unit)}`;

export const ROUNDING_NOTE: Readonly<Record<DisplayUnit, string>> = {
  mm: 'Lengths in mm, rounded to 1 mm.',
  in: 'Lengths in inches, rounded to 1/16 in.',
};

/** Names for headings. */
export const UNIT_NAME: Readonly<Record<DisplayUnit, string>> = { mm: 'mm', in: 'inches' };

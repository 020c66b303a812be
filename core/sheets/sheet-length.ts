import { lengthText } from '../measure/length-text.ts';
import { longLengthFormat } from '../measure/long-length.ts';
import type { Mm } from '../measure/units.ts';

export type DisplayUnit = 'mm' | 'in';

/**
 * A length as a tape is read: whole millimeters, or inches and sixteenths, without the unit. Sheets say once
 * per page which unit and which rounding they use.
 */
export function sheetLength(mm: Mm, unit: DisplayUnit): string {
  return sheetLengthWithUnit(mm, unit).replace(/ (?:mm|in)$/, '');
}

export function sheetLengthWithUnit(mm: Mm, unit: DisplayUnit): string {
  return lengthText(unit === 'mm' ? Math.round(mm) : mm, unit).replaceAll('\u00a0', ' ');
}

/** A place along a roll or the length of a run, as the ruler beside it counts: `36.66 m`, `120' 3 5/16"`. */
export const sheetLongLength = (mm: Mm, unit: DisplayUnit): string =>
  lengthText(unit === 'mm' ? Math.round(mm) : mm, longLengthFormat(unit)).replaceAll('\u00a0', ' ');

/** `1200 × 2300`, width first. */
export const sheetSize = (size: { readonly width: Mm; readonly height: Mm }, unit: DisplayUnit): string =>
  `${sheetLength(size.width, unit)} × ${sheetLength(size.height, unit)}`;

export const ROUNDING_NOTE: Readonly<Record<DisplayUnit, string>> = {
  mm: 'Lengths in mm, rounded to 1 mm.',
  in: 'Lengths in inches, rounded to 1/16 in.',
};

/** As a heading names it. */
export const UNIT_NAME: Readonly<Record<DisplayUnit, string>> = { mm: 'mm', in: 'inches' };

/** What people read of a roll on the shelf, and how a text is held against it. */
import type { StockFacts } from './stock-roll.ts';

const CODE_DIGITS = 4;

/** What its label shows and a scanner types: `R-0042`. */
export const stockCode = (number: number): string => `R-${String(number).padStart(CODE_DIGITS, '0')}`;

/** The number of the roll that a text names, in any form: `R-0042`, `r42`. */
export function stockNumberFromCode(text: string): number | undefined {
  const digits = /^\s*r-?(\d{1,9})\s*$/i.exec(text)?.[1];
  const number = Number(digits);
  return digits !== undefined && number > 0 ? number : undefined;
}

/** `lot 7741, roll 12`, or `lot not known, roll 12`. */
export const lotText = ({ lotNumber, rollNumber }: Pick<StockFacts, 'lotNumber' | 'rollNumber'>): string =>
  `${lotNumber === '' ? 'lot not known' : `lot ${lotNumber}`}, roll ${rollNumber}`;

/** Two names of a material are one where they differ in case and spaces alone. */
export const materialKey = (material: string): string =>
  material.trim().replaceAll(/\s+/g, ' ').toLowerCase();

/** Whether its maker answers for it no more on a day. A roll may be used up to its last day. */
export const isPastUseBy = ({ useBy }: Pick<StockFacts, 'useBy'>, isoDate: string): boolean =>
  useBy !== undefined && isoDate > useBy;

import type { Mm } from '../measure/units.ts';

export type SheetSizeName = 'A4' | 'A3' | 'Letter' | 'Tabloid';

export interface SheetSize {
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  /** White space all around; office printers leave about 5 mm unprinted. */
  readonly marginMm: Mm;
  /** Height of the band below the head, on sheets with a notice. */
  readonly bandMm?: Mm;
  /** Em size of running text: capitals of 2.5 mm (ISO 3098) at least, a little more where the sheet has room. */
  readonly textMm: Mm;
}

/**
 * Sheets are landscape, like sides of vehicles. A4 and A3: ISO 216. Letter and Tabloid: sizes A and B of ANSI/ASME
 * Y14.1, 8.5 × 11 in and 11 × 17 in.
 */
export const SHEET_SIZES: Readonly<Record<SheetSizeName, SheetSize>> = {
  A4: { widthMm: 297, heightMm: 210, marginMm: 8, textMm: 3.5 },
  A3: { widthMm: 420, heightMm: 297, marginMm: 10, textMm: 4 },
  Letter: { widthMm: 279.4, heightMm: 215.9, marginMm: 8, textMm: 3.5 },
  Tabloid: { widthMm: 431.8, heightMm: 279.4, marginMm: 10, textMm: 4 },
};

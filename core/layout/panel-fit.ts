import type { Printer } from '../job/schema.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';

/** How one panel fits on the roll, and the space that remains. */
export interface PanelFit {
  /** Film taken across the roll. */
  readonly acrossMm: Mm;
  /** Film taken along the roll. */
  readonly alongMm: Mm;
  /** Whether the panel is turned by 90°: its height is across the roll. */
  readonly isTurned: boolean;
  /** Printable width that remains beside the panel; negative where it does not fit. */
  readonly widthLeftMm: Mm;
  /** Length that remains; negative where it does not fit. */
  readonly lengthLeftMm: Mm;
  readonly isTooWide: boolean;
  readonly isTooLong: boolean;
}

/** Width between the printer's side margins; 0 or less where the margins use all of it. Keeps FIT1. */
export const printerPrintWidth = (printer: Printer): Mm =>
  printer.rollWidthMm - printer.marginLeftMm - printer.marginRightMm;

/**
 * The longest print on film: the length of the roll or the printer's limit, whichever is shorter. The printer's limit
 * applies to the length sent; a feed that prints 1 % short is sent 1 % more, so less film can be printed at once.
 */
export const longestPrintOnFilm = (printer: Printer): Mm =>
  Math.min(printer.rollLengthMm, printer.longestPrintMm * (1 + printer.feedErrorPercent / 100));

/**
 * Feed error over a length: how much longer the film comes out than it was sent, negative where shorter. Neighbors must
 * match over it.
 */
export const feedErrorOver = (printer: Pick<Printer, 'feedErrorPercent'>, filmMm: Mm): Mm =>
  (filmMm * printer.feedErrorPercent) / 100;

/**
 * Fits a panel's film on the roll, with its short side across and its long side along. Where that is too long, the long
 * side goes across if the roll is wide enough. A film of 1510 × 2750 mm on a 1524 mm roll with 10 mm margins is 6 mm
 * too wide; one of 2750 × 1500 is turned and leaves 4 mm. Keeps FIT2.
 */
export function panelFit(film: { readonly width: Mm; readonly height: Mm }, printer: Printer): PanelFit {
  const short = Math.min(film.width, film.height);
  const long = Math.max(film.width, film.height);
  const shortAcross = fitOf(short, long, film.width > film.height, printer);
  if (!shortAcross.isTooLong) return shortAcross;
  const longAcross = fitOf(long, short, film.width < film.height, printer);
  return longAcross.isTooWide || longAcross.isTooLong ? shortAcross : longAcross;
}

function fitOf(acrossMm: Mm, alongMm: Mm, isTurned: boolean, printer: Printer): PanelFit {
  const widthLeftMm = printerPrintWidth(printer) - acrossMm;
  const lengthLeftMm = longestPrintOnFilm(printer) - alongMm;
  return {
    acrossMm,
    alongMm,
    isTurned,
    widthLeftMm,
    lengthLeftMm,
    isTooWide: widthLeftMm < -LENGTH_TOLERANCE_MM,
    isTooLong: lengthLeftMm < -LENGTH_TOLERANCE_MM,
  };
}

import type { Printer } from '../job/schema.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';

/** How one panel fits on the roll, and what is left over. */
export interface PanelFit {
  /** Film taken across the roll. */
  readonly acrossMm: Mm;
  /** Film taken along the roll. */
  readonly alongMm: Mm;
  /** Whether the panel is turned by 90°: its height lies across the roll. */
  readonly isTurned: boolean;
  /** Printable width that stays free beside the panel; negative where it does not fit. */
  readonly widthLeftMm: Mm;
  /** Length that stays free; negative where it does not fit. */
  readonly lengthLeftMm: Mm;
  readonly isTooWide: boolean;
  readonly isTooLong: boolean;
}

/** Width between the printer's side margins; 0 or less where they leave nothing. Keeps FIT1. */
export const printerPrintWidth = (printer: Printer): Mm =>
  printer.rollWidthMm - printer.marginLeftMm - printer.marginRightMm;

/**
 * The longest print on film: what the roll holds, or what the printer takes. The printer's limit counts the
 * length that is sent; a feed that prints 1 % short is sent 1 % more, so less film can be printed at once.
 */
export const longestPrintOnFilm = (printer: Printer): Mm =>
  Math.min(printer.rollLengthMm, printer.longestPrintMm * (1 + printer.feedErrorPercent / 100));

/** How much longer than it was sent film of a length comes out, shorter where below 0: what neighbors must match over. */
export const feedErrorOver = (printer: Pick<Printer, 'feedErrorPercent'>, filmMm: Mm): Mm =>
  (filmMm * printer.feedErrorPercent) / 100;

/**
 * Lays a panel's film on the roll: the short way across, the long way along. Where that is too long, the
 * long way goes across if the roll is wide enough. A film of 1510 × 2750 mm on a 1524 mm roll with 10 mm
 * margins is 6 mm too wide; one of 2750 × 1500 is turned and leaves 4 mm.
 * Keeps FIT2.
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

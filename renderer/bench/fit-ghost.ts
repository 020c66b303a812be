/** The printable width of the roll drawn over a panel's film, to see what fits and what is left over. Pure. */
import type { Printer, SeamDirection } from '../../core/job/schema.ts';
import type { Panel } from '../../core/layout/panel.ts';
import { panelFit, printerPrintWidth } from '../../core/layout/panel-fit.ts';
import type { Rect } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';

export interface FitGhost {
  /** As wide as the roll prints, from the film's first edge, across the film. */
  readonly printable: Rect<'finished'>;
  /** What of the film hangs over; absent where it fits. */
  readonly excess?: Rect<'finished'>;
  readonly printableMm: Mm;
  /** Printable width beside the film; negative where it hangs over. */
  readonly leftMm: Mm;
}

/**
 * Draws the roll's width in the direction in which the film will be printed. Film that fits neither way must be cut:
 * then `seams` says which of its lengths a cut will shorten: its width while a vertical seam is being placed.
 */
export function fitGhost(panel: Panel, printer: Printer, seams?: SeamDirection): FitGhost {
  const { film } = panel;
  const printableMm = printerPrintWidth(printer);
  const fit = panelFit(film, printer);
  const isAcrossY = fit.isTooWide && seams !== undefined ? seams === 'horizontal' : fit.isTurned;
  const filmMm = isAcrossY ? film.height : film.width;
  const leftMm = printableMm - filmMm;
  const strip = (from: Mm, length: Mm): Rect<'finished'> =>
    isAcrossY ? { ...film, y: film.y + from, height: length } : { ...film, x: film.x + from, width: length };
  const ghost = { printable: strip(0, printableMm), printableMm, leftMm };
  return leftMm < 0 ? { ...ghost, excess: strip(printableMm, -leftMm) } : ghost;
}

/** From the job's own documents to what is packed: panels, the printer's roll, the printer's limits. */
import type { Printer } from '../job/schema.ts';
import type { Panel } from '../layout/panel.ts';
import {
  DEFAULT_LEAD_IN_MM,
  DEFAULT_ROLL_RULES,
  DEFAULT_TAIL_MM,
  type PackItem,
  type RollRules,
  type RollStock,
} from '../shop/rolls.ts';
import { feedCompensationFromError } from './roll-lengths.ts';

/** The vehicle of a fleet that a panel is printed for; `place` counts from 1 among those that are alike. */
export interface UnitCopy {
  readonly unitNumber: string;
  readonly place: number;
}

/** The first vehicle keeps the ids of a job with one, so that panels stay where they were put. */
const copyEnd = (copy?: UnitCopy): string => (copy && copy.place > 1 ? `/${copy.place}` : '');

/**
 * A panel as it lies on its side: width across, height along the film. A panel that is wider than the film can
 * print only turned, so `mayTurn` must be true for sides with horizontal seams. `jobId` keeps sides of several
 * jobs on one film apart.
 */
export const packItemFromPanel = (
  panel: Panel,
  jobId: string,
  mayTurn: boolean,
  copy?: UnitCopy,
): PackItem => ({
  panelId: `${jobId}/${panel.id}${copyEnd(copy)}`,
  sideId: `${jobId}/${panel.sideId}${copyEnd(copy)}`,
  ...(copy && { unit: copy.unitNumber }),
  label: panel.label,
  widthMm: panel.film.width,
  lengthMm: panel.film.height,
  mayTurn,
  installOrder: panel.order,
  ...(panel.installDay !== undefined && panel.installDay > 1 && { installDay: panel.installDay }),
});

/** A full roll as the printer's settings describe it. */
export const rollStockFromPrinter = (printer: Printer, id: string, label: string): RollStock => ({
  id,
  label,
  widthMm: printer.rollWidthMm,
  leftMarginMm: printer.marginLeftMm,
  rightMarginMm: printer.marginRightMm,
  usableLengthMm: printer.rollLengthMm,
  leadInMm: DEFAULT_LEAD_IN_MM,
  tailMm: DEFAULT_TAIL_MM,
});

export const rollRulesFromPrinter = (printer: Printer): RollRules => ({
  ...DEFAULT_ROLL_RULES,
  longestPrintMm: printer.longestPrintMm,
  feedCompensationPercent: feedCompensationFromError(printer.feedErrorPercent),
});

import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { RollStock } from '../shop/rolls.ts';
import { rollPrintWidth } from './roll-lengths.ts';
import { type PlacedPanel, placedEnd, placedRight, rollBands } from './roll-use.ts';

/**
 * A free rectangle of a roll into which bands can be laid, one behind the other:
 *
 *     ├ lead-in ┤ closed ├ locked ┤ closed ├ locked ┤ open …      ┤ tail ┤
 *                         └ beside: one band at most
 */
export interface RollStretch {
  readonly x: Mm;
  readonly width: Mm;
  readonly start: Mm;
  readonly end: Mm;
  /** Film laid here makes the used length longer; the other stretches lie before or beside locked panels. */
  readonly isOpen: boolean;
  /** Beside a locked panel a second band would need a cross cut after the lengthwise one. */
  readonly oneBand: boolean;
}

/** Longer ends for bands of locked panels, by index of the band on its roll: room for longer panels beside them. */
export type BandEnds = ReadonlyMap<number, Mm>;

/** The free stretches of a roll around its locked panels; the open one comes last. */
export function rollStretches(
  roll: RollStock,
  locked: readonly PlacedPanel[],
  gapMm: Mm,
  ends: BandEnds = new Map(),
): RollStretch[] {
  const across = { x: roll.leftMarginMm, width: rollPrintWidth(roll) };
  const stretches: RollStretch[] = [];
  let start = roll.leadInMm;
  for (const [index, band] of rollBands(locked).entries()) {
    const endMm = Math.max(band.endMm, ends.get(index) ?? 0);
    stretches.push({ ...across, start, end: band.startMm - gapMm, isOpen: false, oneBand: false });
    for (const { x, width } of freeAcross(band.panels, across.x, across.x + across.width, gapMm)) {
      stretches.push({ x, width, start: band.startMm, end: endMm, isOpen: false, oneBand: true });
    }
    start = endMm + gapMm;
  }
  stretches.push({ ...across, start, end: roll.usableLengthMm - roll.tailMm, isOpen: true, oneBand: false });
  return stretches.filter(({ width, start, end }) => width > 0 && end - start > LENGTH_TOLERANCE_MM);
}

function freeAcross(panels: readonly PlacedPanel[], left: Mm, right: Mm, gapMm: Mm): { x: Mm; width: Mm }[] {
  const free: { x: Mm; width: Mm }[] = [];
  let from = left;
  for (const panel of [...panels].sort((a, b) => a.place.xMm - b.place.xMm)) {
    free.push({ x: from, width: panel.place.xMm - gapMm - from });
    from = Math.max(from, placedRight(panel) + gapMm);
  }
  free.push({ x: from, width: right - from });
  return free.filter(({ width }) => width > LENGTH_TOLERANCE_MM);
}

/** Film that is used on the roll before anything is laid on the open stretch; 0 on an untouched roll. */
export const lockedUse = (roll: RollStock, locked: readonly PlacedPanel[]): Mm =>
  locked.reduce((used, panel) => Math.max(used, placedEnd(panel) + roll.tailMm), 0);

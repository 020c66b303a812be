import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type Box, type CutTree, cutLeaves, cutTree } from '../nesting/cut-tree.ts';
import type { RollStock } from '../shop/rolls.ts';
import { rollPrintWidth } from './roll-lengths.ts';
import { type PlacedPanel, placedBox, placedEnd, rollBands } from './roll-use.ts';

/**
 * A free rectangle of a roll into which bands can be laid, one behind the other:
 *
 *     ├ lead-in ┤ closed ├ locked ┤ closed ├ locked ┤ open …      ┤ tail ┤
 *                         └ and in what cuts leave free around it
 */
export interface RollStretch {
  readonly x: Mm;
  readonly width: Mm;
  readonly start: Mm;
  readonly end: Mm;
  /** Film laid here makes the used length longer; the other stretches lie before or beside locked panels. */
  readonly isOpen: boolean;
  /** The band of locked panels that it is free film of, by its index on the roll. */
  readonly lockedBand?: number;
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
  for (const [lockedBand, band] of rollBands(locked).entries()) {
    const end = Math.max(band.endMm, ends.get(lockedBand) ?? 0);
    stretches.push({ ...across, start, end: band.startMm - gapMm, isOpen: false });
    const whole = { x0: across.x, x1: across.x + across.width, y0: band.startMm, y1: end };
    for (const { x0, x1, y0, y1 } of freeBoxes(cutTree(band.panels, placedBox), whole, gapMm)) {
      stretches.push({ x: x0, width: x1 - x0, start: y0, end: y1, isOpen: false, lockedBand });
    }
    start = end + gapMm;
  }
  stretches.push({ ...across, start, end: roll.usableLengthMm - roll.tailMm, isOpen: true });
  return stretches.filter(
    ({ width, start: from, end }) => width > LENGTH_TOLERANCE_MM && end - from > LENGTH_TOLERANCE_MM,
  );
}

/** What is free of a piece of film when the cuts between its locked panels go through all of it. */
function freeBoxes(tree: CutTree<PlacedPanel>, film: Box, gapMm: Mm): Box[] {
  const parts = tree.kind === 'cut' ? tree.parts : [tree];
  const isAcross = tree.kind === 'cut' && tree.way === 'across';
  const free: Box[] = [];
  let from = isAcross ? film.y0 : film.x0;
  const strip = (start: Mm, end: Mm): Box =>
    isAcross ? { ...film, y0: start, y1: end } : { ...film, x0: start, x1: end };
  for (const part of parts) {
    const held = boundsOf(part);
    const [start, end] = isAcross ? [held.y0, held.y1] : [held.x0, held.x1];
    free.push(strip(from, start - gapMm));
    if (tree.kind === 'cut') free.push(...freeBoxes(part, strip(start, end), gapMm));
    else {
      free.push({ ...held, y0: film.y0, y1: held.y0 - gapMm }, { ...held, y0: held.y1 + gapMm, y1: film.y1 });
    }
    from = end + gapMm;
  }
  return [...free, strip(from, isAcross ? film.y1 : film.x1)];
}

function boundsOf(tree: CutTree<PlacedPanel>): Box {
  const boxes = cutLeaves(tree).map(placedBox);
  return {
    x0: Math.min(...boxes.map(({ x0 }) => x0)),
    x1: Math.max(...boxes.map(({ x1 }) => x1)),
    y0: Math.min(...boxes.map(({ y0 }) => y0)),
    y1: Math.max(...boxes.map(({ y1 }) => y1)),
  };
}

/** Film that is used on the roll before anything is laid on the open stretch; 0 on an untouched roll. */
export const lockedUse = (roll: RollStock, locked: readonly PlacedPanel[]): Mm =>
  locked.reduce((used, panel) => Math.max(used, placedEnd(panel) + roll.tailMm), 0);

import { itemAt } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';

/** A label above a row with a line down to its target. */
export interface LeadOut {
  /** Target of the line. */
  readonly xMm: Mm;
  /** Width of the label, which is to the right of its line. */
  readonly widthMm: Mm;
}

/**
 * The level of each label, 0 nearest to the row, so that no label covers another label or its line. Labels are to the
 * right of their lines, so a label that extends over later lines is above their labels.
 */
export function leadOutLevels(leadOuts: readonly LeadOut[]): number[] {
  const levels = leadOuts.map(() => 0);
  const fromRight = [...leadOuts.keys()].sort((a, b) => itemAt(leadOuts, b).xMm - itemAt(leadOuts, a).xMm);
  for (const [place, index] of fromRight.entries()) {
    const { xMm, widthMm } = itemAt(leadOuts, index);
    const under = fromRight.slice(0, place).filter((other) => itemAt(leadOuts, other).xMm < xMm + widthMm);
    levels[index] = under.reduce((level, other) => Math.max(level, itemAt(levels, other) + 1), 0);
  }
  return levels;
}

import { itemAt } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';

/** A label above a row, at the head of a line that leads down to what it names. */
export interface LeadOut {
  /** Where the line leads. */
  readonly xMm: Mm;
  /** Of the label, which is on the right of its line. */
  readonly widthMm: Mm;
}

/**
 * The level of each label, 0 nearest to the row, so that no label covers another or the line of another. Labels are on
 * the right of their lines, so a label that reaches over the next lines is above the labels of these.
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

import { z } from 'zod';
import { mmSchema } from '../measure/schemas.ts';
import type { Mm } from '../measure/units.ts';
import type { PackItem, RollRules, RollStock } from '../shop/rolls.ts';

/** Width between the margins that the printer cannot reach. */
export const rollPrintWidth = (roll: RollStock): Mm =>
  Math.max(0, roll.widthMm - roll.leftMarginMm - roll.rightMarginMm);

/** Length between lead-in and tail. */
export const rollPrintLength = (roll: RollStock): Mm =>
  Math.max(0, roll.usableLengthMm - roll.leadInMm - roll.tailMm);

/** Size of a panel's film on the roll: `across` its width, `along` its length. */
export const SizeOnRoll = z.strictObject({ across: mmSchema, along: mmSchema });
export type SizeOnRoll = z.infer<typeof SizeOnRoll>;

export const sizeOnRoll = (item: PackItem, turned: boolean): SizeOnRoll =>
  turned ? { across: item.lengthMm, along: item.widthMm } : { across: item.widthMm, along: item.lengthMm };

/**
 * Length of the file that prints `length` on film. The printer's limit holds for this one; the film used is
 * the true length.
 */
export const sentLength = (length: Mm, rules: RollRules): Mm =>
  length * (1 + rules.feedCompensationPercent / 100);

/** Length on film of the longest file that may be sent. */
export const unsentLength = (sent: Mm, rules: RollRules): Mm =>
  sent / (1 + rules.feedCompensationPercent / 100);

/**
 * Compensation for a measured feed error, both in percent: a print that comes out 0.2 % long (+0.2) is sent
 * shorter, by 100 × (1 ÷ 1.002 − 1) = −0.1996 %.
 */
export const feedCompensationFromError = (errorPercent: number): number =>
  100 * (1 / (1 + errorPercent / 100) - 1);

/** Common practice: waste % = 100 × (1 − panel area ÷ (roll width × used length)); 0 where nothing is used. */
export function wastePercent(panelAreaMm2: number, rollWidthMm: Mm, usedLengthMm: Mm): number {
  const usedAreaMm2 = rollWidthMm * usedLengthMm;
  return usedAreaMm2 > 0 ? 100 * (1 - panelAreaMm2 / usedAreaMm2) : 0;
}

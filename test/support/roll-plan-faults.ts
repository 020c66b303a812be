import type { PackItem, RollPlacement, RollRules, RollStock } from '../../core/shop/rolls.ts';
import { bandLengths } from './cut-check.ts';

const SLACK = 1e-6;

/** What a plan does wrong, rule by rule, without any help from the planner or its own check. */
export function rollPlanFaults(
  items: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
  placements: readonly RollPlacement[],
): string[] {
  const faults: string[] = [];
  const boxes = placements.map((place) => {
    const item = items.find(({ panelId }) => panelId === place.panelId)!;
    const roll = rolls.find(({ id }) => id === place.rollId)!;
    const [across, along] = place.turned ? [item.lengthMm, item.widthMm] : [item.widthMm, item.lengthMm];
    return { item, roll, place, right: place.xMm + across, end: place.yMm + along, along };
  });
  for (const { item, roll, place, right, end, along } of boxes) {
    const name = item.panelId;
    if (place.xMm < roll.leftMarginMm - SLACK) faults.push(`${name} in the left margin`);
    if (right > roll.widthMm - roll.rightMarginMm + SLACK) faults.push(`${name} in the right margin`);
    if (place.yMm < roll.leadInMm - SLACK) faults.push(`${name} in the lead-in`);
    if (end > roll.usableLengthMm - roll.tailMm + SLACK) faults.push(`${name} in the tail`);
    if (along * (1 + rules.feedCompensationPercent / 100) > rules.longestPrintMm + SLACK)
      faults.push(`${name} too long`);
    if (place.turned && !item.mayTurn) faults.push(`${name} turned`);
  }
  const longest = rules.longestPrintMm / (1 + rules.feedCompensationPercent / 100);
  for (const length of bandLengths(items, placements)) {
    if (length > longest + SLACK) faults.push(`${length} mm between two cuts across the roll`);
  }
  boxes.forEach((a, index) => {
    for (const b of boxes.slice(index + 1)) {
      if (a.roll === b.roll) {
        const across = Math.max(a.place.xMm, b.place.xMm) - Math.min(a.right, b.right);
        const along = Math.max(a.place.yMm, b.place.yMm) - Math.min(a.end, b.end);
        if (Math.max(across, along) < rules.gapMm - SLACK)
          faults.push(`${a.item.panelId} near ${b.item.panelId}`);
      }
      if (a.item.sideId === b.item.sideId) {
        if (rules.sideOnOneRoll && a.roll !== b.roll) faults.push(`${a.item.sideId} on two rolls`);
        if (rules.sideInOneDirection && a.place.turned !== b.place.turned)
          faults.push(`${a.item.sideId} two ways`);
      }
    }
  });
  return faults;
}

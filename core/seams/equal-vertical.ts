import type { Mm } from '../measure/units.ts';
import { jointFromLap, type PlanSide, type PlanStock, rollUsableWidth } from './plan-side.ts';
import { PANEL, type PlanTree } from './plan-tree.ts';

/**
 * How many panels of width `w`, each overlapping the next by `o`, cover a length `L`:
 *
 *     n = ⌈(L − o) ÷ (w − o)⌉
 *
 * 16,154.4 mm from panels of 1,352 mm with 12.7 mm overlap: 12.05…, so 13. Infinity where panels are no wider
 * than their overlap.
 * Keeps PN8.
 */
export function equalPanelCount(length: Mm, panelWidth: Mm, overlap: Mm): number {
  if (length <= panelWidth) return 1;
  if (panelWidth <= overlap) return Number.POSITIVE_INFINITY;
  // A length that fits except for a rounding error counts as fitting.
  return Math.ceil((length - overlap) / (panelWidth - overlap) - 1e-9);
}

/**
 * Vertical panels of the full print width from rear to front, with the remainder at the front. They ignore lines,
 * lettering and the size of the last panel, and serve as a comparison for every plan. Undefined where a panel has no
 * width left after border and laps. Keeps SP7.
 */
export function equalVerticalFromSide(side: PlanSide, stock: PlanStock): PlanTree | undefined {
  const joint = jointFromLap(stock.lap, 'vertical', side.front);
  const panel = rollUsableWidth(stock.roll) - 2 * side.border;
  const overlap = joint.first + joint.second;
  const length = side.width + side.bleed.left + side.bleed.right;
  const count = equalPanelCount(length, panel, overlap);
  if (!Number.isFinite(count) || count > MOST_PANELS) return undefined;
  const isFromRight = side.front === 'left';
  const joints = Array.from({ length: count - 1 }, (_, k) => {
    const before = k * (panel - overlap);
    const at = isFromRight
      ? side.width + side.bleed.right - panel + joint.second - before
      : panel - side.bleed.left - joint.first + before;
    return { ...joint, at };
  }).sort((a, b) => a.at - b.at);
  if (joints.length === 0) return PANEL;
  return { kind: 'split', axis: 'vertical', joints, parts: [PANEL, ...joints.map(() => PANEL)] };
}

/** Above this count the film is too narrow for the side, and the comparison means nothing. */
const MOST_PANELS = 1000;

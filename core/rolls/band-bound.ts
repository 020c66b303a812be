import type { Mm } from '../measure/units.ts';
import type { BandItem } from './band-packing.ts';
import { longestFirst } from './band-packing.ts';
import { nestBounds } from './nest-bounds.ts';

/**
 * No set of bands holds these panels with a smaller Σ (length + gap). Bands that take the panels of some length
 * or more are at least that long, and how many it takes is a question of widths alone: film with items one
 * high, for which the bounds of nest-bounds hold.
 */
export function bandLengthBound(items: readonly BandItem[], widthMm: Mm, gapMm: Mm): Mm {
  const sorted = longestFirst(items);
  const unitHigh = sorted.map((item) => ({ width: Math.min(item.across, widthMm) + gapMm, height: 1 }));
  let bands = 0;
  let total = 0;
  sorted.forEach((item, index) => {
    // Only where the length drops can the number of bands of at least this length be read off.
    if (sorted[index + 1]?.along === item.along) return;
    const needed = nestBounds(unitHigh.slice(0, index + 1), widthMm + gapMm).best;
    if (needed <= bands) return;
    total += (needed - bands) * (item.along + gapMm);
    bands = needed;
  });
  return total;
}

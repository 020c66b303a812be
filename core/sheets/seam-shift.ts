import type { Seam } from '../layout/panel.ts';
import type { Mm } from '../measure/units.ts';

/** How far the visible edge of a lap may move from the seam line: toward the part before it, and the part after it. */
export interface SeamShift {
  readonly beforeMm: Mm;
  readonly afterMm: Mm;
}

/**
 * The visible edge belongs to the panel on top. It can be trimmed anywhere within its image, as long as the panel below
 * extends at least `minOverlapMm` under it:
 *
 *     top = second          seam
 *     ───────────────────────┼────first────▶ image of the panel below
 *          ◀────second───────┼────────────── image of the panel on top
 *          └── before ───────┼── after ──┘ └ minOverlap
 *
 * With first 70, second 20 and an overlap of 12 kept: 20 before, 58 after. Undefined for butts and breaks. Keeps SH13.
 */
export function seamShift(seam: Seam, minOverlapMm: Mm): SeamShift | undefined {
  if (seam.joint !== 'lap') return undefined;
  const own = seam.top === 'second' ? seam.secondMm : seam.firstMm;
  const below = Math.max(0, (seam.top === 'second' ? seam.firstMm : seam.secondMm) - minOverlapMm);
  return seam.top === 'second' ? { beforeMm: own, afterMm: below } : { beforeMm: below, afterMm: own };
}

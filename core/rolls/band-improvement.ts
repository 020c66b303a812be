import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { bandLengthBound } from './band-bound.ts';
import type { Band, BandPacking } from './band-packing.ts';
import { bandPackingSearched } from './band-search.ts';
import type { Effort } from './effort.ts';
import { type RandomNumbers, randomIndex } from './random-numbers.ts';
import type { RollStretch } from './roll-stretch.ts';

/** So many panels at a time are packed anew: few enough for an exact search, enough to find a better mix. */
const MOST_PANELS = 12;
const NODES_PER_TRY = 600;

/**
 * Shortens a packing that is too large for an exact search: takes a few bands off the open stretch, packs their
 * panels anew, and keeps the result where it is no longer. What lies on closed stretches stays.
 */
export function bandPackingImproved(
  packing: BandPacking,
  stretches: readonly RollStretch[],
  gapMm: Mm,
  effort: Effort,
  random: RandomNumbers,
): BandPacking {
  const openIndex = stretches.findIndex((stretch) => stretch.isOpen);
  const open = stretches[openIndex];
  if (!open) return packing;
  const closed = packing.bands.filter((band) => band.stretch !== openIndex);
  let bands = packing.bands.filter((band) => band.stretch === openIndex);
  let length = bandsLength(bands, gapMm);
  const items = bands.flatMap((band) => band.items);
  const bound = bandLengthBound(items, open.width, gapMm);
  while (effort.left > 0 && bands.length > 2 && length > bound + LENGTH_TOLERANCE_MM) {
    const taken = bandsTaken(bands, random);
    const kept = bands.filter((band) => !taken.includes(band));
    const room = { ...open, start: open.start + bandsLength(kept, gapMm) };
    const budget: Effort = { left: Math.min(NODES_PER_TRY, effort.left) };
    const before = budget.left;
    const anew = bandPackingSearched(
      taken.flatMap((band) => band.items),
      [room],
      gapMm,
      budget,
    );
    // Every try costs something, or a plan whose tries are all settled at once would never end.
    effort.left -= before - budget.left + taken.length;
    const isNoLonger = anew.openLength <= bandsLength(taken, gapMm) + LENGTH_TOLERANCE_MM;
    if (anew.left.length > 0 || !isNoLonger) continue;
    bands = [...kept, ...anew.bands.map((band) => ({ ...band, stretch: openIndex }))];
    length = bandsLength(bands, gapMm);
  }
  return { bands: [...closed, ...bands], left: packing.left, openLength: length };
}

const bandsLength = (bands: readonly Band[], gapMm: Mm): Mm =>
  bands.reduce((sum, band) => sum + band.length + gapMm, 0);

/** At least two bands at random, as long as their panels stay few. */
function bandsTaken(bands: readonly Band[], random: RandomNumbers): Band[] {
  const rest = [...bands];
  const taken: Band[] = [];
  let panels = 0;
  while (rest.length > 0) {
    const [band] = rest.splice(randomIndex(random, rest.length), 1);
    if (taken.length >= 2 && panels + band!.items.length > MOST_PANELS) break;
    taken.push(band!);
    panels += band!.items.length;
  }
  return taken;
}

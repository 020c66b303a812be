import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type Band, type BandItem, rowCut } from './band.ts';
import type { RollStretch } from './roll-stretch.ts';

export interface BandPacking {
  readonly bands: readonly Band[];
  /** What found no room. */
  readonly left: readonly BandItem[];
  /** Σ (length + gap) of the bands on the open stretch: the part of the film used that packing can change. */
  readonly openLength: Mm;
}

/** Longest first; of equal length the widest; then as given, so that neighbors in the install order stay together. */
const longestFirst = (items: readonly BandItem[]): BandItem[] =>
  [...items].sort((a, b) => b.along - a.along || b.across - a.across);

/**
 * Panels side by side, by falling length, each into a band that has room, into free film before new film: by best fit, where it
 * leaves the least width, or by first fit where that is shorter. First fit keeps a packing within 1.7 times the
 * least length plus the longest panel (Coffman, Garey, Johnson, Tarjan 1980); neither is always the shorter one.
 */
export function bandPackingByFit(
  items: readonly BandItem[],
  stretches: readonly RollStretch[],
  gapMm: Mm,
): BandPacking {
  const bestFit = fittedPacking(items, stretches, gapMm, (free, least) => free < least);
  const firstFit = fittedPacking(items, stretches, gapMm, () => false);
  const moreLeft = areaLeft(firstFit) - areaLeft(bestFit);
  return moreLeft < 0 || (moreLeft === 0 && firstFit.openLength < bestFit.openLength) ? firstFit : bestFit;
}

const areaLeft = ({ left }: BandPacking): number =>
  left.reduce((sum, item) => sum + item.across * item.along, 0);

function fittedPacking(
  items: readonly BandItem[],
  stretches: readonly RollStretch[],
  gapMm: Mm,
  isTighter: (free: Mm, least: Mm) => boolean,
): BandPacking {
  const bands: { stretch: number; length: Mm; items: BandItem[]; free: Mm }[] = [];
  const room = stretches.map((stretch) => stretch.end - stretch.start + gapMm);
  const left: BandItem[] = [];
  let openLength = 0;
  for (const item of longestFirst(items)) {
    const across = item.across + gapMm;
    let best: (typeof bands)[number] | undefined;
    for (const band of bands) {
      const fits =
        item.along <= band.length + LENGTH_TOLERANCE_MM && across <= band.free + LENGTH_TOLERANCE_MM;
      if (fits && (!best || isTighter(band.free, best.free))) best = band;
    }
    if (best) {
      best.items.push(item);
      best.free -= across;
      continue;
    }
    const stretch = tightestStretch(item, stretches, room, gapMm);
    if (stretch < 0) {
      left.push(item);
      continue;
    }
    bands.push({ stretch, length: item.along, items: [item], free: stretches[stretch]!.width - item.across });
    room[stretch] = room[stretch]! - item.along - gapMm;
    if (stretches[stretch]!.isOpen) openLength += item.along + gapMm;
  }
  return {
    bands: bands.map((band) => ({ stretch: band.stretch, length: band.length, cut: rowCut(band.items) })),
    left,
    openLength,
  };
}

/** The stretch with the least room that takes the item as a new band, closed ones before the open one; −1 for none. */
function tightestStretch(
  item: BandItem,
  stretches: readonly RollStretch[],
  room: readonly Mm[],
  gapMm: Mm,
): number {
  let best = -1;
  stretches.forEach((stretch, index) => {
    const fits =
      item.across <= stretch.width + LENGTH_TOLERANCE_MM &&
      item.along + gapMm <= room[index]! + LENGTH_TOLERANCE_MM;
    if (!fits) return;
    const isBetter =
      best < 0 ||
      (stretch.isOpen === stretches[best]!.isOpen ? room[index]! < room[best]! : stretches[best]!.isOpen);
    if (isBetter) best = index;
  });
  return best;
}

import { firstOf } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';
import { type CutTree, cutLeaves } from '../nesting/cut-tree.ts';
import type { SizeOnRoll } from './roll-lengths.ts';

/** A panel in the direction in which it will print. `key` is the caller's own number for it. */
export interface BandItem extends SizeOnRoll {
  readonly key: number;
}

/** How a band, or a part of one, is cut apart. */
export type BandCut = CutTree<BandItem>;

/** What lies between two cuts across the whole roll. */
export interface Band {
  /** Index of the stretch that the band lies in. */
  readonly stretch: number;
  readonly length: Mm;
  readonly cut: BandCut;
}

export const bandItems = ({ cut }: Band): readonly BandItem[] => cutLeaves(cut);

/** Panels side by side, as long as the longest of them. */
export const rowCut = (items: readonly BandItem[]): BandCut =>
  items.length === 1
    ? { kind: 'one', item: firstOf(items) }
    : { kind: 'cut', way: 'lengthwise', parts: items.map((item) => ({ kind: 'one', item })) };

/** The film that a part takes, with a gap between its own parts. */
export function cutSize(cut: BandCut, gapMm: Mm): SizeOnRoll {
  const parts = partsOf(cut).map((part) => cutSize(part, gapMm));
  if (cut.kind === 'one') return { across: cut.item.across, along: cut.item.along };
  const widest = Math.max(...parts.map(({ across }) => across));
  const longest = Math.max(...parts.map(({ along }) => along));
  const gaps = (parts.length - 1) * gapMm;
  return cut.kind === 'cut' && cut.way === 'lengthwise'
    ? { across: parts.reduce((sum, { across }) => sum + across, gaps), along: longest }
    : { across: widest, along: parts.reduce((sum, { along }) => sum + along, gaps) };
}

export interface PlacedItem {
  readonly item: BandItem;
  readonly xMm: Mm;
  readonly yMm: Mm;
}

/** Each panel of a part as near to its start and its left edge as the cuts allow, in print order. */
export const cutPlaces = (cut: BandCut, xMm: Mm, yMm: Mm, gapMm: Mm): PlacedItem[] =>
  placesOf(cut, xMm, yMm, gapMm).sort((a, b) => a.yMm - b.yMm || a.xMm - b.xMm);

function placesOf(cut: BandCut, xMm: Mm, yMm: Mm, gapMm: Mm): PlacedItem[] {
  if (cut.kind === 'one') return [{ item: cut.item, xMm, yMm }];
  const isRow = cut.kind === 'cut' && cut.way === 'lengthwise';
  let at = isRow ? xMm : yMm;
  return partsOf(cut).flatMap((part) => {
    const { across, along } = cutSize(part, gapMm);
    const places = isRow ? placesOf(part, at, yMm, gapMm) : placesOf(part, xMm, at, gapMm);
    at += (isRow ? across : along) + gapMm;
    return places;
  });
}

/** What no cut parts lies one behind the other. */
const partsOf = (cut: BandCut): readonly BandCut[] => {
  if (cut.kind === 'one') return [];
  return cut.kind === 'cut' ? cut.parts : cut.items.map((item) => ({ kind: 'one', item }));
};

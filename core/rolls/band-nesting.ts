import { itemAt } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';
import { type CutTree, cutTree } from '../nesting/cut-tree.ts';
import { nestBounds } from '../nesting/nest-bounds.ts';
import type { NestPlace, NestRooms } from '../nesting/nest-piece.ts';
import { type NestEffort, nested } from '../nesting/nesting.ts';
import { type Band, type BandCut, type BandItem, cutSize } from './band.ts';
import { type BandPacking, bandPackingByFit } from './band-packing.ts';
import type { RollStretch } from './roll-stretch.ts';

export interface NestedPacking extends BandPacking {
  /** No packing of these panels into these stretches is shorter. */
  readonly isShortest: boolean;
}

export interface BandSpaces {
  readonly gapMm: Mm;
  /** No band may be longer. */
  readonly longestMm: Mm;
}

/** Panels in bands that straight cuts part further, on less film than panels side by side need where there is a way. */
export function bandPackingNested(
  items: readonly BandItem[],
  stretches: readonly RollStretch[],
  spaces: BandSpaces,
  effort: NestEffort,
  start: BandPacking = bandPackingByFit(items, stretches, spaces.gapMm),
): NestedPacking {
  const { gapMm } = spaces;
  const openIndex = stretches.findIndex(({ isOpen }) => isOpen);
  if (openIndex < 0 || items.length === 0) return { ...start, isShortest: start.left.length === 0 };
  const closedIndices = [...stretches.keys()].filter((index) => index !== openIndex);
  const roomOf = ({ width, start: from, end }: RollStretch) => ({
    width: width + gapMm,
    height: end - from + gapMm,
  });
  const rooms: NestRooms = {
    closed: closedIndices.map((index) => roomOf(itemAt(stretches, index))),
    open: roomOf(itemAt(stretches, openIndex)),
    longest: spaces.longestMm + gapMm,
  };
  const pieces = items.map(({ across, along }, key) => ({
    key,
    width: across + gapMm,
    height: along + gapMm,
  }));
  if (effort.effort.left <= 0 && effort.exactWithin <= 0) return { ...start, isShortest: false };
  const below = start.left.length === 0 ? start.openLength : Number.POSITIVE_INFINITY;
  const { places, isShortest } = nested(pieces, rooms, {
    below,
    bound: leastLength(rooms, pieces),
    ...effort,
  });
  if (!places) return { ...start, isShortest };
  const bands = [openIndex, ...closedIndices].flatMap((stretch) =>
    bandsOf(
      places.filter(({ room }) => (room < 0 ? openIndex : closedIndices[room]) === stretch),
      stretch,
      items,
      gapMm,
    ),
  );
  const openLength = bands.reduce(
    (sum, band) => (band.stretch === openIndex ? sum + band.length + gapMm : sum),
    0,
  );
  return { bands, left: [], openLength, isShortest };
}

/** What the open room needs at least; where pieces may lie in closed ones too, only area can be counted. */
function leastLength({ closed, open }: NestRooms, pieces: Parameters<typeof nestBounds>[0]): number {
  if (closed.length === 0) return nestBounds(pieces, open.width).best;
  const area = pieces.reduce((sum, { width, height }) => sum + width * height, 0);
  const room = closed.reduce((sum, { width, height }) => sum + width * height, 0);
  return Math.max(0, (area - room) / open.width);
}

function bandsOf(
  places: readonly NestPlace[],
  stretch: number,
  items: readonly BandItem[],
  gapMm: Mm,
): Band[] {
  if (places.length === 0) return [];
  const tree = cutTree(places, ({ x, y, width, height }) => ({
    x0: x,
    x1: x + width,
    y0: y,
    y1: y + height,
  }));
  const parts = tree.kind === 'cut' && tree.way === 'across' ? tree.parts : [tree];
  return parts.map((part) => {
    const cut = cutOfItems(part, items);
    return { stretch, length: cutSize(cut, gapMm).along, cut };
  });
}

function cutOfItems(tree: CutTree<NestPlace>, items: readonly BandItem[]): BandCut {
  if (tree.kind === 'one') return { kind: 'one', item: itemAt(items, tree.item.key) };
  if (tree.kind === 'joined') throw new Error('a nest that straight cuts do not part');
  return { ...tree, parts: tree.parts.map((part) => cutOfItems(part, items)) };
}

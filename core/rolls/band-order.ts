import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { PackItem, PrintOrder } from '../shop/rolls.ts';
import { type Band, type BandCut, type BandItem, bandItems, cutPlaces, cutSize } from './band.ts';
import { outOfOrderCount } from './print-order.ts';
import type { RollStretch } from './roll-stretch.ts';

/** Enough for plans of a hundred panels; each pass costs some thousand counts. */
const MOST_PASSES = 4;

/**
 * Puts bands, and what each is cut into, in the order that suits the installers best, without using more film:
 * bands change places within their stretch, panels change places where both fit. `items` are looked up by key.
 */
export function bandsInPrintOrder(
  bands: readonly Band[],
  stretches: readonly RollStretch[],
  gapMm: Mm,
  items: readonly PackItem[],
  order: PrintOrder,
): Band[] {
  const ranks = printRanks(items, order);
  const sorted = (some: readonly Band[]): Band[] => sortedBands(some, ranks);
  const disorder = (some: readonly Band[]): number =>
    outOfOrderCount(
      some.flatMap(({ cut }) => cutPlaces(cut, 0, 0, gapMm).map(({ item }) => items[item.key]!)),
      order,
    );
  let best = sorted(bands);
  let least = disorder(best);
  for (let pass = 0; pass < MOST_PASSES && least > 0; pass++) {
    const before = least;
    for (const candidate of variants(best, stretches, gapMm, sorted)) {
      const count = disorder(candidate);
      if (count < least) {
        least = count;
        best = candidate;
      }
    }
    if (least === before) break;
  }
  return best;
}

/** By side, in the order in which sides are first named, then by install order. */
function printRanks(items: readonly PackItem[], order: PrintOrder): number[] {
  const sides = [...new Set(items.map((item) => item.sideId))];
  const most = 1 + Math.max(0, ...items.map((item) => item.installOrder));
  return items.map((item) => {
    const within = order === 'last-installed-first' ? most - item.installOrder : item.installOrder;
    return sides.indexOf(item.sideId) * (most + 1) + within;
  });
}

function sortedBands(bands: readonly Band[], ranks: readonly number[]): Band[] {
  return bands
    .map((band) => ({ ...band, ...sortedCut(band.cut, ranks) }))
    .sort((a, b) => a.stretch - b.stretch || a.rank - b.rank)
    .map(({ rank: _, ...band }) => band);
}

/** What cuts part may change places; what is wanted first comes first. */
function sortedCut(cut: BandCut, ranks: readonly number[]): { cut: BandCut; rank: number } {
  if (cut.kind === 'one') return { cut, rank: ranks[cut.item.key]! };
  if (cut.kind === 'joined') return { cut, rank: Math.min(...cut.items.map(({ key }) => ranks[key]!)) };
  const parts = cut.parts.map((part) => sortedCut(part, ranks)).sort((a, b) => a.rank - b.rank);
  return { cut: { ...cut, parts: parts.map((part) => part.cut) }, rank: parts[0]!.rank };
}

function* variants(
  bands: readonly Band[],
  stretches: readonly RollStretch[],
  gapMm: Mm,
  sorted: (bands: readonly Band[]) => Band[],
): Generator<Band[]> {
  for (let from = 0; from < bands.length; from++) {
    for (let to = 0; to < bands.length; to++) {
      if (from === to || bands[from]!.stretch !== bands[to]!.stretch) continue;
      const moved = bands.toSpliced(from, 1);
      yield moved.toSpliced(to, 0, bands[from]!);
    }
  }
  for (let a = 0; a < bands.length; a++) {
    for (let b = a; b < bands.length; b++) {
      for (const [inA, inB] of exchanges(bands[a]!, bands[b]!, stretches, gapMm)) {
        yield sorted(bands.with(a, inA).with(b, inB));
      }
    }
  }
}

/** The ways to swap one panel of a band for one of another, or of the same, so that no band grows. */
function* exchanges(a: Band, b: Band, stretches: readonly RollStretch[], gapMm: Mm): Generator<[Band, Band]> {
  const swapped = (band: Band, one: BandItem, other: BandItem): Band => ({
    ...band,
    cut: cutSwapped(band.cut, one, other),
  });
  const fits = ({ cut, stretch, length }: Band): boolean => {
    const { across, along } = cutSize(cut, gapMm);
    return across <= stretches[stretch]!.width + LENGTH_TOLERANCE_MM && along <= length + LENGTH_TOLERANCE_MM;
  };
  for (const fromA of bandItems(a)) {
    for (const fromB of bandItems(b)) {
      if (fromA.key === fromB.key) continue;
      const inA = swapped(a, fromA, fromB);
      const inB = a === b ? inA : swapped(b, fromA, fromB);
      if (fits(inA) && (a === b || fits(inB))) yield [inA, inB];
    }
  }
}

function cutSwapped(cut: BandCut, one: BandItem, other: BandItem): BandCut {
  const swapped = (item: BandItem): BandItem =>
    item.key === one.key ? other : item.key === other.key ? one : item;
  if (cut.kind === 'one') return { ...cut, item: swapped(cut.item) };
  if (cut.kind === 'joined') return { ...cut, items: cut.items.map(swapped) };
  return { ...cut, parts: cut.parts.map((part) => cutSwapped(part, one, other)) };
}

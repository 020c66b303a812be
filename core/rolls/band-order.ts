import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { PackItem, PrintOrder } from '../shop/rolls.ts';
import type { Band, BandItem } from './band-packing.ts';
import { outOfOrderCount } from './print-order.ts';
import type { RollStretch } from './roll-stretch.ts';

/** Enough for plans of a hundred panels; each pass costs some thousand counts. */
const MOST_PASSES = 4;

/**
 * Puts bands, and panels within a band, in the order that suits the installers best, without using more film:
 * bands change places within their stretch, panels change bands where both fit. `items` are looked up by key.
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
      some.flatMap((band) => band.items.map((item) => items[item.key]!)),
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
  const rank = (item: BandItem): number => ranks[item.key]!;
  return bands
    .map((band) => ({ ...band, items: [...band.items].sort((a, b) => rank(a) - rank(b)) }))
    .sort((a, b) => a.stretch - b.stretch || rank(a.items[0]!) - rank(b.items[0]!));
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
    for (let b = a + 1; b < bands.length; b++) {
      for (const [inA, inB] of exchanges(bands[a]!, bands[b]!, stretches, gapMm)) {
        yield sorted(bands.with(a, { ...bands[a]!, items: inA }).with(b, { ...bands[b]!, items: inB }));
      }
    }
  }
}

/** The ways to swap one panel of a band for one of another so that neither band grows. */
function* exchanges(
  a: Band,
  b: Band,
  stretches: readonly RollStretch[],
  gapMm: Mm,
): Generator<[BandItem[], BandItem[]]> {
  const fits = (items: readonly BandItem[], band: Band): boolean =>
    items.reduce((sum, item) => sum + item.across + gapMm, -gapMm) <=
      stretches[band.stretch]!.width + LENGTH_TOLERANCE_MM &&
    items.every((item) => item.along <= band.length + LENGTH_TOLERANCE_MM);
  for (const [i, fromA] of a.items.entries()) {
    for (const [j, fromB] of b.items.entries()) {
      const inA = a.items.with(i, fromB);
      const inB = b.items.with(j, fromA);
      if (fits(inA, a) && fits(inB, b)) yield [inA, inB];
    }
  }
}

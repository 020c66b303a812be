import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import type { Effort } from './effort.ts';
import { randomNumbersFromSeed } from './random-numbers.ts';
import { packingFirstFit } from './shelf-packing.ts';
import { areHeightsWhole, assertItemsFit, type StripItem, type StripPacking } from './strip.ts';
import { stripBounds } from './strip-bounds.ts';
import { StripFiller } from './strip-filling.ts';
import { isFilledBySwapping, startOrders } from './strip-search.ts';

export interface StripSolution extends StripPacking {
  /** No packing is lower than this. */
  readonly bound: number;
  /** The height meets the bound, so nothing better exists. */
  readonly isOptimal: boolean;
}

/** About a second on a desk machine of 2020. */
export const DEFAULT_EFFORT = 100_000_000;

/** Swaps in a row without gain before the search starts again from another order. */
const PATIENCE = 2000;
/** Heights that are not whole numbers are lowered by a share of what is still open. */
const SHARE_OF_OPEN_HEIGHT = 1 / 8;
/** Below a thousandth of the height a lower packing is not worth a search. */
const WORTHWHILE_GAIN = 1e-3;

/**
 * A low packing of items on a strip, without turning and without regard to cuts: never higher than first fit
 * by falling height. The same items always give the same packing; `effort` is counted in items looked at, not
 * in seconds. Throws a RangeError for an item wider than the strip or without area.
 */
export function stripPacking(
  items: readonly StripItem[],
  stripWidth: number,
  effort = DEFAULT_EFFORT,
): StripSolution {
  assertItemsFit(items, stripWidth);
  const bound = stripBounds(items, stripWidth).best;
  const budget: Effort = { left: effort };
  const filler = new StripFiller(items, stripWidth, budget);
  const orders = startOrders(items);
  const random = randomNumbersFromSeed(items.length);

  let best: StripPacking = packingFirstFit(items, stripWidth);
  for (const order of orders) {
    filler.fill(order, Number.MAX_SAFE_INTEGER);
    if (filler.height() < best.height) best = { height: filler.height(), places: filler.places() };
  }
  let round = 0;
  let order = orders[0]!.slice();
  while (budget.left > 0) {
    const ceiling = nextCeiling(best.height, bound, areHeightsWhole(items));
    if (ceiling === undefined) break;
    if (isFilledBySwapping(filler, order, ceiling, random, budget, PATIENCE)) {
      best = { height: filler.height(), places: filler.places() };
    } else {
      round++;
      order = orders[round % orders.length]!.slice();
    }
  }
  return { ...best, bound, isOptimal: best.height <= bound + LENGTH_TOLERANCE_MM };
}

/** The next height to aim at, or undefined where the packing cannot get noticeably lower. */
function nextCeiling(height: number, bound: number, areWhole: boolean): number | undefined {
  const open = height - bound;
  if (open <= LENGTH_TOLERANCE_MM) return undefined;
  if (areWhole) return height - 1;
  const gain = Math.max(open * SHARE_OF_OPEN_HEIGHT, height * WORTHWHILE_GAIN);
  return gain > open ? undefined : height - gain;
}

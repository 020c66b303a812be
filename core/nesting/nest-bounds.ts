import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';

/**
 * A rectangle to nest on film of fixed width and open length, without turning it. Lengths are numbers in any one unit:
 * millimeters for a roll, whole numbers in published instances.
 *
 *     height ↑
 *            │   ┌───┐
 *            │   │   │ height
 *            │   └───┘
 *            │   width
 *          0 └──────────────┐
 *            0              film width
 */
export interface NestItem {
  readonly width: number;
  readonly height: number;
}

/** Lower bounds of every packing; `best` is the largest of them. */
export interface NestBounds {
  readonly area: number;
  readonly tallest: number;
  readonly wideStack: number;
  readonly martelloMonaciVigo: number;
  readonly best: number;
}

/**
 * Lower bounds on the height of items on film of one width, without turning.
 *
 * Worked example: width 10, two items 7 × 4 and two 4 × 5. Area 96 ÷ 10 → 10; the 7s cannot be beside a 4, so they
 * stack to 8 and the 4s need another 4 → 12; the optimum is 13.
 */
export function nestBounds(items: readonly NestItem[], filmWidth: number): NestBounds {
  const area = areaBound(items, filmWidth);
  const tallest = tallestBound(items);
  const wideStack = wideStackBound(items, filmWidth);
  const martelloMonaciVigo = martelloMonaciVigoBound(items, filmWidth);
  return {
    area,
    tallest,
    wideStack,
    martelloMonaciVigo,
    best: Math.max(area, tallest, wideStack, martelloMonaciVigo),
  };
}

/** The area of the items spread over the whole width. */
const areaBound = (items: readonly NestItem[], filmWidth: number): number =>
  heightRoundedUp(items.reduce((sum, item) => sum + item.width * item.height, 0) / filmWidth, items);

const tallestBound = (items: readonly NestItem[]): number =>
  items.reduce((tallest, item) => Math.max(tallest, item.height), 0);

/** Items wider than half the film must be stacked. */
const wideStackBound = (items: readonly NestItem[], filmWidth: number): number =>
  items.reduce(
    (sum, item) => (item.width > filmWidth / 2 + LENGTH_TOLERANCE_MM ? sum + item.height : sum),
    0,
  );

/**
 * The largest L(a) of Martello, Monaci and Vigo, 'An exact approach to the strip-packing problem', INFORMS Journal on
 * Computing 15 (2003). For a limit a ≤ W/2: items wider than W − a leave no room beside them for items of width a or
 * more; other wide items leave some; items that exceed that room need additional height.
 */
export function martelloMonaciVigoBound(items: readonly NestItem[], filmWidth: number): number {
  const half = filmWidth / 2;
  // Between two widths of narrow items, the largest `a` gives the strongest bound, so these are enough.
  const limits = new Set([half, ...items.map((item) => item.width).filter((width) => width <= half)]);
  return [...limits].reduce((best, limit) => Math.max(best, boundAtLimit(items, filmWidth, limit)), 0);
}

function boundAtLimit(items: readonly NestItem[], filmWidth: number, limit: number): number {
  let stacked = 0;
  let roomBeside = 0;
  let narrowArea = 0;
  for (const { width, height } of items) {
    if (width > filmWidth / 2 + LENGTH_TOLERANCE_MM) {
      stacked += height;
      // An item that leaves slightly less than `limit` beside it counts as leaving room, which is the safe side.
      if (width <= filmWidth - limit + LENGTH_TOLERANCE_MM) roomBeside += (filmWidth - width) * height;
    } else if (width >= limit) {
      narrowArea += width * height;
    }
  }
  return stacked + Math.max(0, heightRoundedUp((narrowArea - roomBeside) / filmWidth, items));
}

/**
 * Some optimal packing has every item pushed down, so its height is a sum of item heights: a whole number where all of
 * them are.
 */
function heightRoundedUp(height: number, items: readonly NestItem[]): number {
  return items.every((item) => Number.isInteger(item.height))
    ? Math.ceil(height - LENGTH_TOLERANCE_MM)
    : height;
}

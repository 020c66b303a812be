import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';

/**
 * A strip of fixed width and open height, and rectangles to lay on it without turning them. Lengths are
 * plain numbers in any one unit: a roll gives millimetres, published instances give whole numbers.
 *
 *     height ↑
 *            │   ┌───┐
 *            │   │   │ height
 *            │   └───┘
 *            │(x,y) width
 *          0 └──────────────┐
 *            0              strip width
 */
export interface StripItem {
  readonly width: number;
  readonly height: number;
}

/** Where the item's lower left corner lies. */
export interface StripPlace {
  readonly x: number;
  readonly y: number;
}

/** One place per item, in the order of the items, and the height that they reach together. */
export interface StripPacking {
  readonly height: number;
  readonly places: readonly StripPlace[];
}

export const itemsArea = (items: readonly StripItem[]): number =>
  items.reduce((sum, item) => sum + item.width * item.height, 0);

/** Heights of packings can be rounded up to whole numbers only where every height is one. */
export const areHeightsWhole = (items: readonly StripItem[]): boolean =>
  items.every((item) => Number.isInteger(item.height));

/**
 * Throws where an item can never lie on the strip. Callers with data of the shop check it first and say so
 * in a finding; here it would be a bug.
 */
export function assertItemsFit(items: readonly StripItem[], stripWidth: number): void {
  items.forEach((item, index) => {
    if (!(item.width > 0 && item.height > 0)) {
      throw new RangeError(`Item ${index} has no area: ${item.width} × ${item.height}.`);
    }
    if (item.width > stripWidth + LENGTH_TOLERANCE_MM) {
      throw new RangeError(`Item ${index} is ${item.width} wide; the strip is ${stripWidth}.`);
    }
  });
}

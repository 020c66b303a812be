import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import { assertItemsFit, type StripItem, type StripPacking, type StripPlace } from './strip.ts';

/**
 * Shelf packings: items by falling height, each shelf as high as its first item. Plain, fast, and with proved
 * guarantees (Coffman, Garey, Johnson, Tarjan 1980), which makes them the floor under the better packer.
 */
interface Shelf {
  readonly bottom: number;
  used: number;
}

type ShelfChoice = (shelves: readonly Shelf[], width: number, stripWidth: number) => Shelf | undefined;

/** Next fit: only the newest shelf is looked at. At most twice the optimum plus the tallest item. */
export const packingNextFit = (items: readonly StripItem[], stripWidth: number): StripPacking =>
  shelfPacking(items, stripWidth, (shelves, width) => {
    const newest = shelves.at(-1);
    return newest && hasRoom(newest, width, stripWidth) ? newest : undefined;
  });

/** First fit: the lowest shelf with room. At most 1.7 times the optimum plus the tallest item. */
export const packingFirstFit = (items: readonly StripItem[], stripWidth: number): StripPacking =>
  shelfPacking(items, stripWidth, (shelves, width) =>
    shelves.find((shelf) => hasRoom(shelf, width, stripWidth)),
  );

const hasRoom = (shelf: Shelf, width: number, stripWidth: number): boolean =>
  shelf.used + width <= stripWidth + LENGTH_TOLERANCE_MM;

function shelfPacking(items: readonly StripItem[], stripWidth: number, choice: ShelfChoice): StripPacking {
  assertItemsFit(items, stripWidth);
  const shelves: Shelf[] = [];
  const places: StripPlace[] = new Array(items.length);
  let height = 0;
  for (const index of indicesByFallingHeight(items)) {
    const item = items[index]!;
    let shelf = choice(shelves, item.width, stripWidth);
    if (!shelf) {
      shelf = { bottom: height, used: 0 };
      shelves.push(shelf);
      height += item.height;
    }
    places[index] = { x: shelf.used, y: shelf.bottom };
    shelf.used += item.width;
  }
  return { height, places };
}

const indicesByFallingHeight = (items: readonly StripItem[]): number[] =>
  items.map((_, index) => index).sort((a, b) => items[b]!.height - items[a]!.height);

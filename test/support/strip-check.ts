import type { StripItem, StripPacking } from '../../core/rolls/strip.ts';

const SLACK = 1e-6;

/** What is wrong with a packing, in sentences: written apart from the packer, with every pair compared. */
export function stripPackingFaults(
  items: readonly StripItem[],
  stripWidth: number,
  packing: StripPacking,
): string[] {
  const faults: string[] = [];
  if (packing.places.length !== items.length) faults.push('Some items have no place.');
  const boxes = items.map((item, index) => {
    const place = packing.places[index] ?? { x: Number.NaN, y: Number.NaN };
    return { left: place.x, right: place.x + item.width, low: place.y, high: place.y + item.height };
  });
  boxes.forEach((box, index) => {
    const isInside =
      box.left >= -SLACK &&
      box.right <= stripWidth + SLACK &&
      box.low >= -SLACK &&
      box.high <= packing.height + SLACK;
    if (!isInside) faults.push(`Item ${index} is off the strip.`);
    boxes.slice(0, index).forEach((other, otherIndex) => {
      const across = Math.min(box.right, other.right) - Math.max(box.left, other.left);
      const along = Math.min(box.high, other.high) - Math.max(box.low, other.low);
      if (across > SLACK && along > SLACK) faults.push(`Items ${otherIndex} and ${index} overlap.`);
    });
  });
  const highest = Math.max(0, ...boxes.map((box) => box.high));
  if (Math.abs(highest - packing.height) > SLACK)
    faults.push(`The height is ${highest}, not ${packing.height}.`);
  return faults;
}

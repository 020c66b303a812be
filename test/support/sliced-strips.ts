import type { NestItem } from '../../core/nesting/nest-bounds.ts';
import { randomNumbersFromSeed } from '../../core/nesting/random-numbers.ts';
import type { StripInstance } from './strip-instances.ts';

const SIZES = [
  { width: 20, height: 30, count: 16 },
  { width: 40, height: 60, count: 25 },
  { width: 60, height: 90, count: 28 },
  { width: 60, height: 90, count: 49 },
  { width: 100, height: 150, count: 73 },
  { width: 100, height: 150, count: 97 },
  { width: 160, height: 240, count: 150 },
];
const LEAST_TO_CUT = 4;

/**
 * Strips cut at random into whole rectangles by straight cuts from edge to edge, in the sizes of the published ones. The
 * height that was cut is their optimum by straight cuts. The nester was tuned on others, so they are held out.
 */
export const slicedStrips = (seed: number): StripInstance[] =>
  SIZES.map(({ width, height, count }) => ({
    name: `cut-${count}-${seed}`,
    stripWidth: width,
    optimalHeight: height,
    items: pieces({ width, height }, count, randomNumbersFromSeed(7919 * seed + count)),
  }));

/** Large pieces are cut first, mostly across their longer measure, at a fifth to four fifths of it. */
function pieces(strip: NestItem, count: number, random: () => number): NestItem[] {
  const parts = [strip];
  while (parts.length < count) {
    const weights = parts.map((part) => (isToBeCut(part) ? (part.width * part.height) ** 2 : 0));
    let at = random() * weights.reduce((sum, weight) => sum + weight, 0);
    const index = weights.findIndex((weight) => {
      at -= weight;
      return weight > 0 && at <= 0;
    });
    const { width, height } = parts[index]!;
    const isWide =
      height < LEAST_TO_CUT || (width >= LEAST_TO_CUT && width * (0.6 + 0.8 * random()) > height);
    const first = Math.round((isWide ? width : height) * (0.2 + 0.6 * random()));
    const halves = isWide
      ? [first, width - first].map((part) => ({ width: part, height }))
      : [first, height - first].map((part) => ({ width, height: part }));
    parts.splice(index, 1, ...halves);
  }
  return parts;
}

const isToBeCut = ({ width, height }: NestItem): boolean => Math.max(width, height) >= LEAST_TO_CUT;

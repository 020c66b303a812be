import fc from 'fast-check';
import type { NestItem } from '../../core/nesting/nest-bounds.ts';

export interface PerfectStrip {
  readonly stripWidth: number;
  readonly optimalHeight: number;
  readonly items: readonly NestItem[];
}

/** Strips cut at random into whole rectangles without waste: their optimum is known to be the height that was cut. */
export const perfectStrips = (mostCuts: number): fc.Arbitrary<PerfectStrip> =>
  fc
    .record({
      stripWidth: fc.integer({ min: 7, max: 60 }),
      optimalHeight: fc.integer({ min: 5, max: 90 }),
      cuts: fc.array(
        fc.record({
          piece: fc.nat(),
          across: fc.boolean(),
          share: fc.double({ min: 0, max: 1, noNaN: true }),
        }),
        { maxLength: mostCuts },
      ),
    })
    .map(({ stripWidth, optimalHeight, cuts }) => {
      let pieces: NestItem[] = [{ width: stripWidth, height: optimalHeight }];
      for (const { piece, across, share } of cuts) {
        const index = piece % pieces.length;
        pieces = [
          ...pieces.slice(0, index),
          ...halves(pieces[index]!, across, share),
          ...pieces.slice(index + 1),
        ];
      }
      return { stripWidth, optimalHeight, items: pieces };
    });

function halves(piece: NestItem, across: boolean, share: number): NestItem[] {
  const { width, height } = piece;
  const length = across ? height : width;
  if (length < 2) return [piece];
  const first = 1 + Math.floor(share * (length - 2));
  return across
    ? [
        { width, height: first },
        { width, height: height - first },
      ]
    : [
        { width: first, height },
        { width: width - first, height },
      ];
}

import { jpegInkBlocks } from '../../pdf/images/jpeg-ink-blocks.ts';
import { FULL_INK, InkHistogram } from './ink-histogram.ts';

/** How often each ink sum comes up among the means of 8 × 8 pixels; undefined where it cannot be told. */
export function jpegInkHistogram(
  source: Uint8Array,
  inverted: readonly boolean[],
  colourTransform: number,
): InkHistogram | undefined {
  const blocks = jpegInkBlocks(source, colourTransform);
  if (!blocks) return undefined;
  const histogram = new InkHistogram();
  blocks.each((inks) => {
    let sum = 0;
    for (let i = 0; i < inks.length; i++) {
      const ink = Math.min(FULL_INK, Math.max(0, inks[i]!));
      sum += inverted[i] ? FULL_INK - ink : ink;
    }
    histogram.add(Math.round(sum));
  });
  return histogram;
}

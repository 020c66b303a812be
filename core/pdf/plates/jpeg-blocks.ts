import { jpegInkBlocks } from '../images/jpeg-ink-blocks.ts';

const INKS = 4;

export interface InkSamples {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Four to a pixel, as the file stores them. */
  readonly samples: Uint8Array;
}

/** A JPEG of four inks with a pixel for each square of 8 × 8, which is its mean; undefined where it cannot be read so. */
export function jpegBlocks(source: Uint8Array): InkSamples | undefined {
  const blocks = jpegInkBlocks(source);
  if (!blocks) return undefined;
  const samples = new Uint8ClampedArray(blocks.across * blocks.down * INKS);
  blocks.each((inks, block) => samples.set(inks, block * INKS));
  return { widthPx: blocks.across, heightPx: blocks.down, samples: new Uint8Array(samples.buffer) };
}

import { type JpegAverages, jpegAverages } from './jpeg-averages.ts';

const INKS = 4;
const BLOCK_PX = 8;
const FULL = 255;
/** Adobe's marker, and the ColorTransform entry of the filter: four components are luma, two chroma and black. */
const YCCK = 2;

/** A JPEG of four inks by the means of its squares of 8 × 8 pixels. */
export interface InkBlocks {
  readonly across: number;
  readonly down: number;
  /**
   * Visits the squares row by row with their inks as the file stores them, 0 to 255 or a little beyond. The array is
   * the same each time.
   */
  each(seen: (inks: readonly number[], block: number) => void): void;
}

/** Undefined where the file is no JPEG of four components, or cannot be read. `colourTransform` as the filter says it. */
export function jpegInkBlocks(source: Uint8Array, colourTransform = 0): InkBlocks | undefined {
  const read = jpegAverages(source);
  if (!read.ok || read.value.components.length !== INKS) return undefined;
  const { frame, adobeTransform } = read.value;
  const isYcck = (adobeTransform ?? (colourTransform === 0 ? 0 : YCCK)) === YCCK;
  const across = Math.ceil(frame.width / BLOCK_PX);
  const down = Math.ceil(frame.height / BLOCK_PX);
  return {
    across,
    down,
    each: (seen) =>
      eachBlock(read.value, across, down, (values, block) => {
        if (isYcck) inksFromChroma(values);
        seen(values, block);
      }),
  };
}

/** Components that are sampled more coarsely stand for several squares. */
function eachBlock(
  { frame, components }: JpegAverages,
  columns: number,
  rows: number,
  seen: (values: number[], block: number) => void,
): void {
  const maxAcross = Math.max(...frame.components.map(({ across }) => across));
  const maxDown = Math.max(...frame.components.map(({ down }) => down));
  const values = components.map(() => 0);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      for (const [i, { across, down }] of frame.components.entries()) {
        const { blocksAcross, means } = components[i]!;
        const x = Math.floor((column * across) / maxAcross);
        const y = Math.floor((row * down) / maxDown);
        values[i] = means[y * blocksAcross + x]!;
      }
      seen(values, row * columns + column);
    }
  }
}

/** ITU-T T.871, clause 7, gives red, green and blue; the inks are their complements. */
function inksFromChroma(values: number[]): void {
  const [y, cb, cr] = [values[0]!, values[1]! - 128, values[2]! - 128];
  values[0] = FULL - (y + 1.402 * cr);
  values[1] = FULL - (y - 0.344136 * cb - 0.714136 * cr);
  values[2] = FULL - (y + 1.772 * cb);
}

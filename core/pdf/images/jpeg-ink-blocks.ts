import { type JpegAverages, jpegAverages } from './jpeg-averages.ts';
import { isChroma, undoChroma } from './jpeg-chroma.ts';

const BLOCK_PX = 8;

/** A JPEG as the means of its squares of 8 × 8 pixels. */
export interface InkBlocks {
  readonly across: number;
  readonly down: number;
  /**
   * Visits the squares row by row with their samples as stored in the file, 0 to 255 or slightly outside. The array is
   * reused for each call.
   */
  visitBlocks(seen: (samples: readonly number[], block: number) => void): void;
}

/**
 * Undefined where the file is not a JPEG with this many components, or cannot be read. `colorTransform` is the filter's
 * parameter.
 */
export function jpegInkBlocks(
  source: Uint8Array,
  components: number,
  colorTransform?: number,
): InkBlocks | undefined {
  const read = jpegAverages(source);
  if (!read.ok || read.value.components.length !== components) return undefined;
  const { frame, adobeTransform } = read.value;
  const isTransformed = isChroma(frame, adobeTransform, colorTransform);
  const across = Math.ceil(frame.width / BLOCK_PX);
  const down = Math.ceil(frame.height / BLOCK_PX);
  return {
    across,
    down,
    visitBlocks: (seen) =>
      visitAveragedBlocks(read.value, across, down, (values, block) => {
        if (isTransformed) undoChroma(values, components);
        seen(values, block);
      }),
  };
}

/** A sample of a component with coarser sampling stands for several squares. */
function visitAveragedBlocks(
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

import { type ComponentAverages, type JpegAverages, jpegAverages } from '../../pdf/images/jpeg-averages.ts';
import { FULL_INK, InkHistogram } from './ink-histogram.ts';

const INKS = 4;
/** Adobe's marker, and the ColorTransform entry of the filter: four components are luma, two chroma and black. */
const YCCK = 2;

/** How often each ink sum comes up among the means of 8 × 8 pixels; undefined where it cannot be told. */
export function jpegInkHistogram(
  source: Uint8Array,
  inverted: readonly boolean[],
  colourTransform: number,
): InkHistogram | undefined {
  const read = jpegAverages(source);
  if (!read.ok || read.value.components.length !== INKS) return undefined;
  const averages = read.value;
  const isYcck = (averages.adobeTransform ?? (colourTransform === 0 ? 0 : YCCK)) === YCCK;
  const histogram = new InkHistogram();
  const inks = [0, 0, 0, 0];
  eachBlock(averages, (values) => {
    const [a, b, c, k] = values as [number, number, number, number];
    if (isYcck) {
      inks[0] = FULL_INK - (a + 1.402 * (c - 128));
      inks[1] = FULL_INK - (a - 0.344136 * (b - 128) - 0.714136 * (c - 128));
      inks[2] = FULL_INK - (a + 1.772 * (b - 128));
    } else {
      inks[0] = a;
      inks[1] = b;
      inks[2] = c;
    }
    inks[3] = k;
    let sum = 0;
    for (let i = 0; i < INKS; i++) {
      const ink = Math.min(FULL_INK, Math.max(0, inks[i]!));
      sum += inverted[i] ? FULL_INK - ink : ink;
    }
    histogram.add(Math.round(sum));
  });
  return histogram;
}

/** Every square of 8 × 8 pixels with the means of its components; coarser ones stand for several squares. */
function eachBlock({ frame, components }: JpegAverages, seen: (values: readonly number[]) => void): void {
  const maxAcross = Math.max(...frame.components.map(({ across }) => across));
  const maxDown = Math.max(...frame.components.map(({ down }) => down));
  const columns = Math.ceil(frame.width / 8);
  const rows = Math.ceil(frame.height / 8);
  const values = components.map(() => 0);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      for (const [i, { across, down }] of frame.components.entries()) {
        const x = Math.floor((column * across) / maxAcross);
        const y = Math.floor((row * down) / maxDown);
        values[i] = meanAt(components[i]!, x, y);
      }
      seen(values);
    }
  }
}

const meanAt = ({ blocksAcross, means }: ComponentAverages, x: number, y: number): number =>
  means[y * blocksAcross + x]!;

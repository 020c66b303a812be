import { type JpegAverages, jpegAverages } from '../images/jpeg-averages.ts';

const INKS = 4;
const BLOCK_PX = 8;
/** Adobe's marker: four components are luma, two chroma and black. */
const YCCK = 2;

export interface InkSamples {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Four to a pixel, as the file stores them. */
  readonly samples: Uint8Array;
}

/** A JPEG of four inks with a pixel for each square of 8 × 8, which is its mean; undefined where it cannot be read so. */
export function jpegBlocks(source: Uint8Array): InkSamples | undefined {
  const read = jpegAverages(source);
  if (!read.ok || read.value.components.length !== INKS) return undefined;
  const { frame, components, adobeTransform } = read.value;
  const widthPx = Math.ceil(frame.width / BLOCK_PX);
  const heightPx = Math.ceil(frame.height / BLOCK_PX);
  const samples = new Uint8ClampedArray(widthPx * heightPx * INKS);
  for (const [ink, component] of components.entries()) {
    const places = coarserBy(read.value, ink);
    for (let y = 0; y < heightPx; y += 1) {
      const row = Math.floor(y * places.down) * component.blocksAcross;
      for (let x = 0; x < widthPx; x += 1) {
        samples[(y * widthPx + x) * INKS + ink] = component.means[row + Math.floor(x * places.across)]!;
      }
    }
  }
  if (adobeTransform === YCCK) inksFromChroma(samples);
  return { widthPx, heightPx, samples: new Uint8Array(samples.buffer) };
}

/** How many blocks of a component stand beside one of the finest. */
function coarserBy({ frame }: JpegAverages, ink: number): { readonly across: number; readonly down: number } {
  const { across, down } = frame.components[ink]!;
  return {
    across: across / Math.max(...frame.components.map((component) => component.across)),
    down: down / Math.max(...frame.components.map((component) => component.down)),
  };
}

/** ITU-T T.871, clause 7, gives red, green and blue; the inks are their complements. */
function inksFromChroma(samples: Uint8ClampedArray): void {
  for (let at = 0; at < samples.length; at += INKS) {
    const [y, cb, cr] = [samples[at]!, samples[at + 1]! - 128, samples[at + 2]! - 128];
    samples[at] = 255 - (y + 1.402 * cr);
    samples[at + 1] = 255 - (y - 0.344136 * cb - 0.714136 * cr);
    samples[at + 2] = 255 - (y + 1.772 * cb);
  }
}

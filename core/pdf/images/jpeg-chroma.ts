import type { JpegFrame } from './jpeg-frame.ts';

const LIGHTS = 3;
const INKS = 4;
const FULL = 255;

/**
 * Whether the first three components are luma and chroma. Adobe's marker decides first, then the filter's parameter
 * `ColorTransform`. Without either, three components are, unless their ids are R, G and B, and four are not (ISO
 * 32000-1, Table 13).
 */
export function isChroma(
  { components }: JpegFrame,
  adobeTransform: number | undefined,
  colorTransform: number | undefined,
): boolean {
  const { length } = components;
  if (length !== LIGHTS && length !== INKS) return false;
  const ids = String.fromCharCode(...components.map(({ id }) => id));
  // Readers have always taken components with the ids R, G and B as red, green and blue.
  const usual = length === LIGHTS && ids !== 'RGB' ? 1 : 0;
  return (adobeTransform ?? colorTransform ?? usual) !== 0;
}

/**
 * Converts pixels of three or four components to red, green and blue, or to inks, in place. ITU-T T.871, clause 7,
 * gives red, green and blue; the inks are their complements.
 */
export function undoChroma(samples: number[] | Uint8ClampedArray, components: number): void {
  const [base, sign] = components === INKS ? [FULL, -1] : [0, 1];
  for (let i = 0; i < samples.length; i += components) {
    const [y, cb, cr] = [samples[i]!, samples[i + 1]! - 128, samples[i + 2]! - 128];
    samples[i] = base + sign * (y + 1.402 * cr);
    samples[i + 1] = base + sign * (y - 0.344136 * cb - 0.714136 * cr);
    samples[i + 2] = base + sign * (y + 1.772 * cb);
  }
}

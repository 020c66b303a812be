/**
 * A rendering of a side, of one byte a pixel for gray or four for RGBA, row by row from the top left. `ppi` is pixels
 * per inch at finished size, which applies to all values read from it.
 */
export interface SideRaster {
  readonly width: number;
  readonly height: number;
  readonly channels: 1 | 4;
  readonly data: Uint8Array | Uint8ClampedArray;
  readonly ppi: number;
}

/** Why a rendering cannot be read. */
export class BadRaster extends Error {
  override readonly name = 'BadRaster';
  readonly code = 'bad-raster';
}

/** Rejects a raster whose size does not agree with its bytes. */
export function assertRaster({ width, height, channels, data, ppi }: SideRaster): void {
  const isWhole = Number.isInteger(width) && Number.isInteger(height) && width > 0 && height > 0;
  if (!isWhole || data.length !== width * height * channels || !(ppi > 0)) {
    throw new BadRaster(
      `A rendering of ${width} × ${height} pixels at ${ppi} ppi does not agree with its ${data.length} bytes.`,
    );
  }
}

/** A channel value on white film, with alpha blended onto white. Whole numbers from 0 to 255. */
function onWhite(value: number, alpha: number): number {
  return alpha === 255 ? value : Math.trunc(255 + ((value - 255) * alpha) / 255);
}

/** One plane of the raster, as bytes on white, in which contrast is measured. */
export function rasterPlanes(raster: SideRaster): Uint8Array[] {
  const { width, height, channels, data } = raster;
  const count = width * height;
  if (channels === 1) return [Uint8Array.from(data)];
  const planes = [new Uint8Array(count), new Uint8Array(count), new Uint8Array(count)];
  for (let i = 0; i < count; i++) {
    const alpha = data[4 * i + 3]!;
    for (let c = 0; c < 3; c++) {
      planes[c]![i] = onWhite(data[4 * i + c]!, alpha);
    }
  }
  return planes;
}

/** A color this close to gray is not searched separately, because gray shows the same edges. */
const LEAST_HUE = 24;

/**
 * Planes that together show all contrast: gray, plus red and blue where they differ from it. Green is nearly gray. On
 * white.
 */
export function rasterShades(raster: SideRaster): [gray: Uint8Array, ...hues: Uint8Array[]] {
  const { width, height, channels, data } = raster;
  if (channels === 1) return [Uint8Array.from(data)];
  const count = width * height;
  const [gray, red, blue] = [new Uint8Array(count), new Uint8Array(count), new Uint8Array(count)];
  let [redHue, blueHue] = [0, 0];
  for (let i = 0, at = 0; i < count; i++, at += 4) {
    // Most pixels equal the one before them.
    const isSame =
      i > 0 &&
      data[at] === data[at - 4] &&
      data[at + 1] === data[at - 3] &&
      data[at + 2] === data[at - 2] &&
      data[at + 3] === data[at - 1];
    if (isSame) {
      gray[i] = gray[i - 1]!;
      red[i] = red[i - 1]!;
      blue[i] = blue[i - 1]!;
      continue;
    }
    const alpha = data[at + 3]!;
    const r = onWhite(data[at]!, alpha);
    const b = onWhite(data[at + 2]!, alpha);
    const shade = grayOf(r, onWhite(data[at + 1]!, alpha), b);
    gray[i] = shade;
    red[i] = r;
    blue[i] = b;
    redHue = Math.max(redHue, Math.abs(r - shade));
    blueHue = Math.max(blueHue, Math.abs(b - shade));
  }
  return [gray, ...(redHue > LEAST_HUE ? [red] : []), ...(blueHue > LEAST_HUE ? [blue] : [])];
}

const grayOf = (r: number, g: number, b: number): number => Math.round(0.2126 * r + 0.7152 * g + 0.0722 * b);

/** Gray on white by the weights of Rec. 709, which follow perceived lightness. */
export function rasterGray({ width, height, channels, data }: SideRaster): Uint8Array {
  if (channels === 1) return Uint8Array.from(data);
  const gray = new Uint8Array(width * height);
  for (let i = 0, at = 0; i < gray.length; i++, at += 4) {
    const alpha = data[at + 3]!;
    const r = onWhite(data[at]!, alpha);
    const g = onWhite(data[at + 1]!, alpha);
    const b = onWhite(data[at + 2]!, alpha);
    gray[i] = grayOf(r, g, b);
  }
  return gray;
}

import { addBytes } from '../file/predictor.ts';
import { corrupt } from './image-problem.ts';

/** How samples are arranged in a row, for predictors (ISO 32000-1, 7.4.4.4, Table 8). */
export interface RowLayout {
  readonly components: number;
  readonly bitsPerComponent: number;
  readonly columns: number;
}

export const rowBits = ({ components, bitsPerComponent, columns }: RowLayout): number =>
  components * bitsPerComponent * columns;
export const rowBytes = (layout: RowLayout): number => Math.ceil(rowBits(layout) / 8);

/**
 * Distance to the byte on the left, for PNG: one pixel, rounded up to whole bytes (ISO/IEC 15948, 9.2). PNG has no
 * pixels of 12 bits; PDF has, and its readers round up there too.
 */
export const pixelBytes = ({ components, bitsPerComponent }: RowLayout): number =>
  Math.ceil((components * bitsPerComponent) / 8);

export const PNG_FILTER = { none: 0, sub: 1, up: 2, average: 3, paeth: 4 } as const;

/**
 * Undoes one PNG row filter (ISO/IEC 15948, 9.2). `above` is the unfiltered row before, zeros for the first. `row` and
 * `coded` may be the same memory.
 */
export function undoPngRow(
  filter: number,
  coded: Uint8Array,
  above: Uint8Array,
  pixel: number,
  row: Uint8Array,
): void {
  const length = row.length;
  if (filter === PNG_FILTER.none) {
    row.set(coded);
  } else if (filter === PNG_FILTER.sub) {
    for (let i = 0; i < pixel && i < length; i++) row[i] = coded[i]!;
    for (let i = pixel; i < length; i++) row[i] = coded[i]! + row[i - pixel]!;
  } else if (filter === PNG_FILTER.up) {
    row.set(coded.subarray(0, length));
    addBytes(row, above);
  } else if (filter === PNG_FILTER.average) {
    for (let i = 0; i < pixel && i < length; i++) row[i] = coded[i]! + (above[i]! >> 1);
    for (let i = pixel; i < length; i++) row[i] = coded[i]! + ((row[i - pixel]! + above[i]!) >> 1);
  } else if (filter === PNG_FILTER.paeth) {
    // One component at a time, so that the neighbors stay in local variables.
    for (let first = 0; first < pixel; first++) {
      let left = 0;
      let upLeft = 0;
      for (let i = first; i < length; i += pixel) {
        const up = above[i]!;
        left = (coded[i]! + paeth(left, up, upLeft)) & 0xff;
        row[i] = left;
        upLeft = up;
      }
    }
  } else {
    corrupt(`A row of the image names PNG filter ${filter}, which does not exist.`);
  }
}

/** Applies a PNG row filter to the bytes `from` to `to` of a row. */
export function filterPngRow(
  filter: number,
  row: Uint8Array,
  above: Uint8Array,
  pixel: number,
  out: Uint8Array,
  from = 0,
  to = row.length,
): void {
  for (let i = from; i < to; i++) {
    const left = i >= pixel ? row[i - pixel]! : 0;
    const up = above[i]!;
    let predicted = 0;
    if (filter === PNG_FILTER.sub) predicted = left;
    else if (filter === PNG_FILTER.up) predicted = up;
    else if (filter === PNG_FILTER.average) predicted = (left + up) >> 1;
    else if (filter === PNG_FILTER.paeth) predicted = paeth(left, up, i >= pixel ? above[i - pixel]! : 0);
    out[i] = row[i]! - predicted;
  }
}

/**
 * The neighbor nearest to left + up − upLeft; on a tie left, then up (ISO/IEC 15948, 9.4). It is selected by masks of
 * all ones or all zeros: in photographs the choice is as good as random, and branches take half as long again.
 */
function paeth(left: number, up: number, upLeft: number): number {
  const toLeft = magnitude(up - upLeft);
  const toUp = magnitude(left - upLeft);
  const toUpLeft = magnitude(left + up - 2 * upLeft);
  const isLeft = ~((toUp - toLeft) >> 31) & ~((toUpLeft - toLeft) >> 31);
  const isUp = ~isLeft & ~((toUpLeft - toUp) >> 31);
  return (left & isLeft) | (up & isUp) | (upLeft & ~(isLeft | isUp));
}

function magnitude(value: number): number {
  const sign = value >> 31;
  return (value ^ sign) - sign;
}

/**
 * Undoes TIFF predictor 2 on one row, in place: each component is stored as the difference from the pixel before (TIFF
 * 6.0, section 14).
 */
export function undoTiffRow(row: Uint8Array, layout: RowLayout): void {
  const { components, bitsPerComponent } = layout;
  if (bitsPerComponent === 8) {
    for (let i = components; i < row.length; i++) row[i]! += row[i - components]!;
  } else {
    sumSamples(row, layout, 1);
  }
}

/** Applies TIFF predictor 2 to one row, in place. */
export function filterTiffRow(row: Uint8Array, layout: RowLayout): void {
  const { components, bitsPerComponent } = layout;
  if (bitsPerComponent === 8) {
    for (let i = row.length - 1; i >= components; i--) row[i]! -= row[i - components]!;
  } else {
    sumSamples(row, layout, -1);
  }
}

/** Goes sample by sample: sign 1 adds up differences, −1 makes them. */
function sumSamples(
  row: Uint8Array,
  { components, bitsPerComponent, columns }: RowLayout,
  sign: 1 | -1,
): void {
  const mask = 2 ** bitsPerComponent - 1;
  const before = new Uint16Array(components);
  for (let i = 0; i < columns * components; i++) {
    const component = i % components;
    const value = sampleAt(row, i, bitsPerComponent);
    const changed = (value + sign * before[component]!) & mask;
    before[component] = sign === 1 ? changed : value;
    putSample(row, i, bitsPerComponent, changed);
  }
}

/** A sample of any depth; samples of less than a byte count from its high bits (ISO 32000-1, 8.9.5.2). */
export function sampleAt(row: Uint8Array, index: number, bits: number): number {
  if (bits === 16) return (row[2 * index]! << 8) | row[2 * index + 1]!;
  const at = index * bits;
  return (row[at >> 3]! >> (8 - bits - (at & 7))) & ((1 << bits) - 1);
}

export function putSample(row: Uint8Array, index: number, bits: number, value: number): void {
  if (bits === 16) {
    row[2 * index] = value >> 8;
    row[2 * index + 1] = value & 255;
    return;
  }
  const at = index * bits;
  const shift = 8 - bits - (at & 7);
  const byte = at >> 3;
  row[byte] = (row[byte]! & ~(((1 << bits) - 1) << shift)) | (value << shift);
}

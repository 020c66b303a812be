import { problemStreamDamaged, problemTooLarge } from './pdf-problem.ts';

/** DecodeParms of Flate and LZW data, ISO 32000-1, Table 8. */
export interface PredictorParams {
  readonly predictor: number;
  readonly colors: number;
  readonly bitsPerComponent: number;
  readonly columns: number;
}

const MAX_ROW_BYTES = 1 << 28;

/** Undoes the predictor: 2 is TIFF's; 10 to 15 are PNG's, where each row names its own filter (RFC 2083, 6). */
export function predictorUndone(data: Uint8Array, params: PredictorParams): Uint8Array {
  if (params.predictor <= 1) return data;
  const bitsPerPixel = params.colors * params.bitsPerComponent;
  const rowBytes = Math.ceil((bitsPerPixel * params.columns) / 8);
  if (!(bitsPerPixel >= 1 && rowBytes >= 1)) {
    throw problemStreamDamaged('A stream names a predictor with a row of no width.');
  }
  if (rowBytes > MAX_ROW_BYTES) throw problemTooLarge('A stream names a predictor with rows of over 256 MB.');
  return params.predictor === 2
    ? tiffUndone(data, params, rowBytes)
    : pngUndone(data, rowBytes, Math.max(1, bitsPerPixel >> 3));
}

function pngUndone(data: Uint8Array, rowBytes: number, pixelBytes: number): Uint8Array {
  const rows = Math.ceil(data.length / (rowBytes + 1));
  const out = new Uint8Array(Math.max(0, data.length - rows));
  for (let row = 0; row < rows; row++) {
    const from = row * (rowBytes + 1);
    const to = row * rowBytes;
    const length = Math.min(rowBytes, data.length - from - 1);
    const above = to - rowBytes;
    const end = to + length;
    out.set(data.subarray(from + 1, from + 1 + length), to);
    const filter = data[from]!;
    if (filter === SUB) addLeft(out, to, end, pixelBytes);
    else if (filter === UP && row > 0) addUp(out, to, end, above);
    else if (filter === AVERAGE) addAverage(out, to, end, row > 0 ? above : undefined, pixelBytes);
    else if (filter === PAETH) addPaeth(out, to, end, row > 0 ? above : undefined, pixelBytes);
  }
  return out;
}

/** Filters of a row (RFC 2083, 6.1); 0 and unknown values leave it unchanged. */
const SUB = 1;
const UP = 2;
const AVERAGE = 3;
const PAETH = 4;

// One loop per filter, because every byte of a picture passes here: the filter is checked once per row.

function addLeft(out: Uint8Array, to: number, end: number, pixelBytes: number): void {
  for (let i = to + pixelBytes; i < end; i++) out[i] = out[i]! + out[i - pixelBytes]!;
}

function addUp(out: Uint8Array, to: number, end: number, above: number): void {
  addBytes(out.subarray(to, end), out.subarray(above, above + end - to));
}

/** Adds bytes pairwise, each modulo 256; four at once where both begin on a word. */
export function addBytes(to: Uint8Array, from: Uint8Array): void {
  const words = ((to.byteOffset | from.byteOffset) & 3) === 0 ? to.length >> 2 : 0;
  const sums = new Int32Array(to.buffer, words > 0 ? to.byteOffset : 0, words);
  const added = new Int32Array(from.buffer, words > 0 ? from.byteOffset : 0, words);
  for (let i = 0; i < words; i++) {
    const a = sums[i]!;
    const b = added[i]!;
    // Without its highest bit, no byte carries into the next.
    sums[i] = ((a & LOW_BITS) + (b & LOW_BITS)) ^ ((a ^ b) & ~LOW_BITS);
  }
  for (let i = 4 * words; i < to.length; i++) to[i] = to[i]! + from[i]!;
}

const LOW_BITS = 0x7f7f7f7f;

function addAverage(
  out: Uint8Array,
  to: number,
  end: number,
  above: number | undefined,
  pixelBytes: number,
): void {
  for (let i = to; i < end; i++) {
    const left = i >= to + pixelBytes ? out[i - pixelBytes]! : 0;
    const up = above === undefined ? 0 : out[above + i - to]!;
    out[i] = out[i]! + ((left + up) >> 1);
  }
}

function addPaeth(
  out: Uint8Array,
  to: number,
  end: number,
  above: number | undefined,
  pixelBytes: number,
): void {
  // Missing neighbors count as 0, so the one that exists is nearest to the estimate.
  if (above === undefined) {
    addLeft(out, to, end, pixelBytes);
    return;
  }
  // One byte position of the pixel at a time, so that the neighbors stay in local variables.
  for (let first = to; first < to + pixelBytes; first++) {
    let left = 0;
    let upLeft = 0;
    for (let i = first, up = above + first - to; i < end; i += pixelBytes, up += pixelBytes) {
      const upper = out[up]!;
      left = (out[i]! + paeth(left, upper, upLeft)) & 0xff;
      out[i] = left;
      upLeft = upper;
    }
  }
}

function paeth(left: number, up: number, upLeft: number): number {
  const estimate = left + up - upLeft;
  const toLeft = Math.abs(estimate - left);
  const toUp = Math.abs(estimate - up);
  const toUpLeft = Math.abs(estimate - upLeft);
  if (toLeft <= toUp && toLeft <= toUpLeft) return left;
  return toUp <= toUpLeft ? up : upLeft;
}

function tiffUndone(data: Uint8Array, params: PredictorParams, rowBytes: number): Uint8Array {
  const { colors, bitsPerComponent: bits, columns } = params;
  const out = data.slice();
  for (let row = 0; row < out.length; row += rowBytes) {
    const end = Math.min(out.length, row + rowBytes);
    if (bits === 8) {
      for (let i = row + colors; i < end; i++) out[i] = out[i]! + out[i - colors]!;
    } else if (bits === 16) {
      for (let i = row + 2 * colors; i + 1 < end; i += 2) {
        const before = i - 2 * colors;
        const sum = ((out[i]! << 8) | out[i + 1]!) + ((out[before]! << 8) | out[before + 1]!);
        out[i] = sum >> 8;
        out[i + 1] = sum;
      }
    } else {
      undoTiffBits(out.subarray(row, end), colors, bits, columns);
    }
  }
  return out;
}

/** One row of 1, 2 or 4 bits per component, in place. */
function undoTiffBits(row: Uint8Array, colors: number, bits: number, columns: number): void {
  const mask = (1 << bits) - 1;
  const before = new Uint8Array(colors);
  const samples = Math.min(columns * colors, Math.floor((row.length * 8) / bits));
  for (let i = 0; i < samples; i++) {
    const at = (i * bits) >> 3;
    const shift = 8 - bits - ((i * bits) & 7);
    const value = (((row[at]! >> shift) & mask) + before[i % colors]!) & mask;
    before[i % colors] = value;
    row[at] = (row[at]! & ~(mask << shift)) | (value << shift);
  }
}

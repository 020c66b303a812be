import { ByteBuffer } from '../pdf/file/byte-stream.ts';
import type { PixelSize } from '../pdf/images/pixel-window.ts';
import { putSample, type RowLayout, rowBytes, sampleAt } from '../pdf/images/raster-predictor.ts';
import { sampleTaps, type Taps } from './sample-taps.ts';

export interface RasterToReduce {
  readonly layout: RowLayout;
  readonly rows: number;
  /** The visible part of its columns and rows; the rest is padding. The whole size except for means of JPEG blocks. */
  readonly extent: PixelSize;
}

/** Sixteen samples leave a quarter of the grain of one, and keep every edge in its place. */
const MEAN_TAPS = 4;

/**
 * Reduces a raster as its rows arrive, and holds one row of the result. `mean` averages over a few samples and gives 8
 * bits per sample, scaled to the full range whatever the source's depth. `pick` takes pixels unchanged, where values
 * are names and not amounts.
 */
export class RasterReduction {
  readonly output = new ByteBuffer(1 << 17);
  readonly #layout: RowLayout;
  readonly #columns: Taps;
  readonly #rows: Int32Array;
  readonly #rowTaps: number;
  readonly #kind: 'mean' | 'pick';
  readonly #sums: Uint32Array;
  readonly #outBytes: number;
  #nextTap = 0;
  #y = 0;

  /** A mean uses at most `maxTaps` samples in each direction. */
  constructor(
    { layout, extent, rows }: RasterToReduce,
    size: PixelSize,
    kind: 'mean' | 'pick',
    maxTaps = MEAN_TAPS,
  ) {
    const most = kind === 'pick' ? 1 : maxTaps;
    this.#layout = layout;
    this.#kind = kind;
    this.#columns = sampleTaps(extent.width, layout.columns, size.width, most);
    const down = sampleTaps(extent.height, rows, size.height, most);
    this.#rows = down.places;
    this.#rowTaps = down.taps;
    this.#sums = new Uint32Array(kind === 'mean' ? size.width * layout.components : 0);
    this.#outBytes = reducedRowBytes(layout, size.width, kind);
  }

  /** Whether all rows that count have been pushed. */
  get isDone(): boolean {
    return this.#nextTap === this.#rows.length;
  }

  /** Adds the next row of the source; begin with the first. */
  push(samples: Uint8Array): void {
    if (this.#y++ !== this.#rows[this.#nextTap]) return;
    this.#nextTap++;
    if (this.#kind === 'pick') {
      const out = this.output.reserve(this.#outBytes);
      out.fill(0);
      pickPixels(samples, this.#layout, this.#columns.places, out);
      return;
    }
    addSamples(samples, this.#layout, this.#columns, this.#sums);
    if (this.#nextTap % this.#rowTaps === 0) this.#giveMeans();
  }

  #giveMeans(): void {
    const sums = this.#sums;
    const out = this.output.reserve(this.#outBytes);
    const bits = Math.min(8, this.#layout.bitsPerComponent);
    const perLevel = 255 / ((2 ** bits - 1) * this.#rowTaps * this.#columns.taps);
    for (let i = 0; i < out.length; i++) out[i] = sums[i]! * perLevel + 0.5;
    sums.fill(0);
  }
}

/** Bytes of one row of the result. */
export const reducedRowBytes = (layout: RowLayout, width: number, kind: 'mean' | 'pick'): number =>
  rowBytes({
    ...layout,
    columns: width,
    bitsPerComponent: kind === 'mean' ? 8 : layout.bitsPerComponent,
  });

/** Only the upper eight of 16 bits count. */
function addSamples(row: Uint8Array, layout: RowLayout, { places, taps }: Taps, sums: Uint32Array) {
  const { components, bitsPerComponent } = layout;
  if (bitsPerComponent < 8) {
    addNarrow(row, layout, { places, taps }, sums);
    return;
  }
  if (bitsPerComponent === 8 && components <= 4) {
    ADDED[components - 1]!(row, places, taps, sums);
    return;
  }
  const sampleBytes = bitsPerComponent >> 3;
  const pixelBytes = components * sampleBytes;
  for (let to = 0, tap = 0; to < sums.length; to += components) {
    for (let n = 0; n < taps; n++, tap++) {
      let from = places[tap]! * pixelBytes;
      for (let c = to; c < to + components; c++, from += sampleBytes) sums[c]! += row[from]!;
    }
  }
}

type Added = (row: Uint8Array, places: Int32Array, taps: number, sums: Uint32Array) => void;

/**
 * One function per number of components: nearly every sample of a picture passes here, and one loop less halves the
 * time.
 */
const ADDED: readonly Added[] = [addOnes, addTwos, addThrees, addFours];

function addOnes(row: Uint8Array, places: Int32Array, taps: number, sums: Uint32Array): void {
  for (let to = 0, tap = 0; to < sums.length; to++) {
    let sum = 0;
    for (const end = tap + taps; tap < end; tap++) sum += row[places[tap]!]!;
    sums[to]! += sum;
  }
}

function addTwos(row: Uint8Array, places: Int32Array, taps: number, sums: Uint32Array): void {
  for (let to = 0, tap = 0; to < sums.length; to += 2) {
    let [a, b] = [0, 0];
    for (const end = tap + taps; tap < end; tap++) {
      const from = 2 * places[tap]!;
      a += row[from]!;
      b += row[from + 1]!;
    }
    sums[to]! += a;
    sums[to + 1]! += b;
  }
}

function addThrees(row: Uint8Array, places: Int32Array, taps: number, sums: Uint32Array): void {
  for (let to = 0, tap = 0; to < sums.length; to += 3) {
    let [a, b, c] = [0, 0, 0];
    for (const end = tap + taps; tap < end; tap++) {
      const from = 3 * places[tap]!;
      a += row[from]!;
      b += row[from + 1]!;
      c += row[from + 2]!;
    }
    sums[to]! += a;
    sums[to + 1]! += b;
    sums[to + 2]! += c;
  }
}

function addFours(row: Uint8Array, places: Int32Array, taps: number, sums: Uint32Array): void {
  for (let to = 0, tap = 0; to < sums.length; to += 4) {
    let [a, b, c, d] = [0, 0, 0, 0];
    for (const end = tap + taps; tap < end; tap++) {
      const from = 4 * places[tap]!;
      a += row[from]!;
      b += row[from + 1]!;
      c += row[from + 2]!;
      d += row[from + 3]!;
    }
    sums[to]! += a;
    sums[to + 1]! += b;
    sums[to + 2]! += c;
    sums[to + 3]! += d;
  }
}

function addNarrow(row: Uint8Array, layout: RowLayout, { places, taps }: Taps, sums: Uint32Array) {
  const { components, bitsPerComponent: bits } = layout;
  for (let to = 0, tap = 0; to < sums.length; to += components) {
    for (let n = 0; n < taps; n++, tap++) {
      const from = places[tap]! * components;
      for (let c = 0; c < components; c++) sums[to + c]! += sampleAt(row, from + c, bits);
    }
  }
}

function pickPixels(row: Uint8Array, layout: RowLayout, places: Int32Array, out: Uint8Array): void {
  const { components, bitsPerComponent: bits } = layout;
  if (bits < 8) {
    for (let i = 0; i < places.length * components; i++) {
      const column = Math.floor(i / components);
      const sample = sampleAt(row, places[column]! * components + (i - column * components), bits);
      putSample(out, i, bits, sample);
    }
    return;
  }
  const pixelBytes = (components * bits) >> 3;
  for (let to = 0, i = 0; i < places.length; i++) {
    let from = places[i]! * pixelBytes;
    for (let n = 0; n < pixelBytes; n++) out[to++] = row[from++]!;
  }
}

import { ByteBuffer } from '../file/byte-stream.ts';
import type { PixelWindow } from './pixel-window.ts';
import { copyBits } from './raster-bits.ts';
import {
  filterPngRow,
  filterTiffRow,
  PNG_FILTER,
  pixelBytes,
  type RowLayout,
  rowBits,
  rowBytes,
} from './raster-predictor.ts';
import type { Predictor, RasterRow } from './raster-rows.ts';

/**
 * How a crop's rows are coded. `kept`: as in the source, row by row, which packs about as well and costs almost
 * nothing. `chosen`: a PNG filter picked for each row.
 */
export type CropPredictor = { readonly kind: Predictor; readonly filters: 'kept' | 'chosen' };

/** Cuts and codes the rows of one window; `output` collects the bytes to pack. */
export class RasterWindow {
  /** The first wanted row of the source, and the one after the last. */
  readonly top: number;
  readonly bottom: number;
  readonly output = new ByteBuffer(1 << 17);
  private readonly predictor: CropPredictor;
  private readonly layout: RowLayout;
  private readonly fromBit: number;
  private readonly bits: number;
  private readonly pixel: number;
  private readonly tailBits: number;
  private row: Uint8Array;
  private above: Uint8Array;
  private isFirst = true;

  constructor({ x, y, width, height }: PixelWindow, source: RowLayout, predictor: CropPredictor) {
    this.top = y;
    this.bottom = y + height;
    this.predictor = predictor;
    this.layout = { ...source, columns: width };
    this.fromBit = rowBits({ ...source, columns: x });
    this.bits = rowBits(this.layout);
    this.pixel = pixelBytes(this.layout);
    this.tailBits = this.bits & 7;
    this.row = new Uint8Array(rowBytes(this.layout));
    this.above = new Uint8Array(this.row.length);
  }

  push(source: RasterRow): void {
    const { kind, filters } = this.predictor;
    if (kind === 'none') {
      copyBits(source.samples, this.fromBit, this.bits, this.output.reserve(this.row.length));
      return;
    }
    [this.row, this.above] = [this.above, this.row];
    copyBits(source.samples, this.fromBit, this.bits, this.row);
    if (kind === 'tiff') {
      const out = this.output.reserve(this.row.length);
      out.set(this.row);
      filterTiffRow(out, this.layout);
    } else {
      const filter = filters === 'kept' ? source.filter : filterChosen(this.row, this.above, this.pixel);
      const out = this.output.reserve(this.row.length + 1);
      out[0] = filter;
      this.filterRow(filter, source, out.subarray(1));
    }
    this.isFirst = false;
  }

  private filterRow(filter: number, source: RasterRow, out: Uint8Array): void {
    const isAligned = (this.fromBit & 7) === 0 && this.tailBits === 0;
    if (this.predictor.filters === 'chosen' || this.isFirst || !isAligned) {
      filterPngRow(filter, this.row, this.above, this.pixel, out);
      return;
    }
    // Only the first pixel has lost a neighbor; after it, the source's own filtered bytes are right.
    const first = this.fromBit >> 3;
    out.set(source.coded.subarray(first, first + out.length));
    filterPngRow(filter, this.row, this.above, this.pixel, out, 0, Math.min(this.pixel, out.length));
  }
}

/** The filter choice looks at every seventh byte: enough to distinguish flat areas from photographs. */
const SAMPLE_STEP = 7;

/**
 * The filter that leaves the smallest bytes, by the usual sum of magnitudes (ISO/IEC 15948, 12.8), over a sample of the
 * row.
 */
function filterChosen(row: Uint8Array, above: Uint8Array, pixel: number): number {
  let none = 0;
  let sub = 0;
  let up = 0;
  for (let i = pixel; i < row.length; i += SAMPLE_STEP) {
    none += magnitude(row[i]!);
    sub += magnitude(row[i]! - row[i - pixel]!);
    up += magnitude(row[i]! - above[i]!);
  }
  if (none <= sub && none <= up) return PNG_FILTER.none;
  return up <= sub ? PNG_FILTER.up : PNG_FILTER.sub;
}

/** The magnitude of a byte read as a signed one. */
function magnitude(difference: number): number {
  const byte = difference & 0xff;
  return byte < 128 ? byte : 256 - byte;
}

import { corrupt } from './image-problem.ts';
import { pixelBytes, type RowLayout, rowBytes, undoPngRow, undoTiffRow } from './raster-predictor.ts';

/** How rows were coded before they were packed. */
export type Predictor = 'none' | 'tiff' | 'png';

/** One row of samples, and how the source had coded it. Its memory is reused for the next row. */
export interface RasterRow {
  /** Samples, packed, each row beginning at a byte. */
  readonly samples: Uint8Array;
  /** The same row with the source's predictor; for PNG without the leading filter byte. */
  readonly coded: Uint8Array;
  /** The PNG filter of this row; 0 for other predictors. */
  readonly filter: number;
}

/**
 * Splits a stream of unpacked bytes into rows and undoes the predictor. The row passed to `onRow` is valid until the
 * next one.
 */
export class RowReader {
  private readonly layout: RowLayout;
  private readonly predictor: Predictor;
  private readonly stride: number;
  private readonly pixel: number;
  private readonly partial: Uint8Array;
  private partialLength = 0;
  private samples: Uint8Array;
  private above: Uint8Array;

  constructor(layout: RowLayout, predictor: Predictor) {
    this.layout = layout;
    this.predictor = predictor;
    const bytes = rowBytes(layout);
    this.stride = predictor === 'png' ? bytes + 1 : bytes;
    this.pixel = pixelBytes(layout);
    this.partial = new Uint8Array(this.stride);
    this.samples = new Uint8Array(bytes);
    this.above = new Uint8Array(bytes);
  }

  /** Passes every row that these bytes complete to `onRow`, until it returns false. Returns whether it never did. */
  push(bytes: Uint8Array, onRow: (row: RasterRow) => boolean): boolean {
    let at = 0;
    if (this.partialLength > 0) {
      const part = bytes.subarray(0, this.stride - this.partialLength);
      this.partial.set(part, this.partialLength);
      this.partialLength += part.length;
      at = part.length;
      if (this.partialLength < this.stride) return true;
      this.partialLength = 0;
      if (!onRow(this.row(this.partial))) return false;
    }
    for (; at + this.stride <= bytes.length; at += this.stride) {
      if (!onRow(this.row(bytes.subarray(at, at + this.stride)))) return false;
    }
    const rest = bytes.subarray(at);
    this.partial.set(rest);
    this.partialLength = rest.length;
    return true;
  }

  private row(stored: Uint8Array): RasterRow {
    if (this.predictor === 'none') return { samples: stored, coded: stored, filter: 0 };
    if (this.predictor === 'tiff') {
      this.samples.set(stored);
      undoTiffRow(this.samples, this.layout);
      return { samples: this.samples, coded: stored, filter: 0 };
    }
    const filter = stored[0]!;
    if (filter > 4) corrupt(`A row of the image names PNG filter ${filter}, which does not exist.`);
    const coded = stored.subarray(1);
    [this.samples, this.above] = [this.above, this.samples];
    undoPngRow(filter, coded, this.above, this.pixel, this.samples);
    return { samples: this.samples, coded, filter };
  }
}

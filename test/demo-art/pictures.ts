import type { PDFRef } from 'pdf-lib';
import type { ArtDocument, Value } from './art-document.ts';

/** A picture as rows of 8-bit samples, top row first, components interleaved. */
export interface Raster {
  readonly width: number;
  readonly height: number;
  readonly components: number;
  readonly samples: Uint8Array;
}

export const rasterNew = (width: number, height: number, components: number): Raster => ({
  width,
  height,
  components,
  samples: new Uint8Array(width * height * components),
});

/** Pixels for a length at finished size. */
export const pixelsFor = (mm: number, ppi: number): number => Math.round((mm / 25.4) * ppi);

/**
 * Embeds a picture, deflated after PNG's "up" predictor: made pictures change slowly from row to row,
 * so a few hundred kilobytes hold tens of megabytes.
 */
export function pictureRef(
  document: ArtDocument,
  raster: Raster,
  colorSpace: Value,
  softMask?: PDFRef,
): PDFRef {
  const { width, height, components, samples } = raster;
  const rowBytes = width * components;
  const predicted = new Uint8Array((rowBytes + 1) * height);
  for (let row = 0; row < height; row += 1) {
    const from = row * rowBytes;
    const to = row * (rowBytes + 1);
    predicted[to] = 2;
    for (let i = 0; i < rowBytes; i += 1) {
      const above = row === 0 ? 0 : (samples[from - rowBytes + i] ?? 0);
      predicted[to + 1 + i] = (samples[from + i] ?? 0) - above;
    }
  }
  const entries = {
    Type: 'XObject',
    Subtype: 'Image',
    Width: width,
    Height: height,
    BitsPerComponent: 8,
    ColorSpace: colorSpace,
    DecodeParms: { Predictor: 15, Colors: components, BitsPerComponent: 8, Columns: width },
  };
  return document.stream(softMask ? { ...entries, SMask: softMask } : entries, predicted, 6);
}

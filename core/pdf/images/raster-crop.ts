import type { ByteBuffer, ByteSink, RowsReport } from '../file/byte-stream.ts';
import { corrupt } from './image-problem.ts';
import type { PixelWindow } from './pixel-window.ts';
import type { RowLayout } from './raster-predictor.ts';
import { type Predictor, RowReader } from './raster-rows.ts';
import { type CropPredictor, RasterWindow } from './raster-window.ts';

/** Bytes of a window's rows that are collected before they are passed on. */
const BAND_BYTES = 1 << 16;

/** How a raster's rows are arranged in its unpacked bytes. */
export interface RasterForm {
  readonly layout: RowLayout;
  readonly predictor: Predictor;
}

/**
 * Cuts all windows in one pass over the unpacked bytes of a raster. Each window's rows, coded by `predictor`, go to its
 * sink, which is ended after the window's last row; the memory of a band is reused when its write has resolved. Reading
 * stops at the last row that any window needs. Holds one band per window, never the raster. Throws `ImageFault` where
 * the data end early.
 */
export async function cropRaster(
  unpacked: AsyncIterable<Uint8Array>,
  form: RasterForm,
  windows: readonly PixelWindow[],
  predictor: CropPredictor,
  sinks: readonly ByteSink[],
  onRows: RowsReport,
): Promise<void> {
  const reader = new RowReader(form.layout, form.predictor);
  const bands = new WindowBands(
    windows.map((window) => new RasterWindow(window, form.layout, predictor)),
    sinks,
  );
  let y = 0;
  if (bands.lastRow === 0) return;
  for await (const chunk of unpacked) {
    // Long chunks are processed in parts, so that a band does not grow far beyond its size.
    for (let at = 0; at < chunk.length; at += BAND_BYTES) {
      const isWanting = reader.push(chunk.subarray(at, at + BAND_BYTES), (row) => {
        for (const cutter of bands.at(y)) cutter.push(row);
        y++;
        return y < bands.lastRow;
      });
      await bands.flush(y);
      await onRows(y, bands.lastRow);
      if (!isWanting) return;
    }
  }
  corrupt(`The image data end after row ${y}.`);
}

class WindowBands {
  readonly lastRow: number;
  private readonly windows: readonly RasterWindow[];
  private readonly sinks: readonly ByteSink[];
  private readonly ended: boolean[];
  private active: readonly RasterWindow[] = [];
  private activeUntil = 0;

  constructor(windows: readonly RasterWindow[], sinks: readonly ByteSink[]) {
    this.windows = windows;
    this.sinks = sinks;
    this.ended = windows.map(() => false);
    this.lastRow = Math.max(0, ...windows.map(({ bottom }) => bottom));
  }

  /** The windows that need row `y`; call it with rows in order. */
  at(y: number): readonly RasterWindow[] {
    if (y >= this.activeUntil) {
      const edges = this.windows.flatMap(({ top, bottom }) => [top, bottom]);
      this.activeUntil = Math.min(...edges.filter((edge) => edge > y), Number.POSITIVE_INFINITY);
      this.active = this.windows.filter(({ top, bottom }) => y >= top && y < bottom);
    }
    return this.active;
  }

  /**
   * Passes on the collected rows, and ends the sinks of windows whose last row is before row `y`. Sinks work side by
   * side.
   */
  async flush(y: number): Promise<void> {
    const work: (Promise<void> | void)[] = [];
    this.windows.forEach(({ bottom, output }, i) => {
      const isComplete = y >= bottom;
      if (this.ended[i] || (output.length < BAND_BYTES && !isComplete)) return;
      this.ended[i] = isComplete;
      work.push(this.handOver(output, this.sinks[i]!, isComplete));
    });
    if (work.length > 0) await Promise.all(work);
  }

  private async handOver(band: ByteBuffer, sink: ByteSink, isComplete: boolean): Promise<void> {
    if (band.length > 0) await sink.write(band.view());
    band.clear();
    if (isComplete) await sink.end();
  }
}

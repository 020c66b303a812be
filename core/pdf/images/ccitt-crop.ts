import type { ByteSink, RowsReport } from '../file/byte-stream.ts';
import { type CcittParms, CcittReader } from './ccitt-reader.ts';
import { Group4Writer } from './ccitt-writer.ts';
import { corrupt } from './image-problem.ts';
import type { PixelWindow } from './pixel-window.ts';

const BAND_BYTES = 1 << 15;
/** Lines between two reports, a few milliseconds of work. */
const LINES_PER_REPORT = 256;

/**
 * Crops fax-coded data to windows in one pass and codes each by Group 4. Lines stay lists of changes throughout;
 * no pixel is ever set. `data` is the coded image, which is small beside its raster. Throws `ImageFault`.
 */
export async function cropCcitt(
  data: Uint8Array,
  parms: CcittParms,
  windows: readonly PixelWindow[],
  sinks: readonly ByteSink[],
  onRows: RowsReport,
): Promise<void> {
  const reader = new CcittReader(data, parms);
  const writers = windows.map(({ width }) => new Group4Writer(width));
  const rows = Math.max(0, ...windows.map(({ y, height }) => y + height));
  for (let y = 0; y < rows; y++) {
    const line = reader.next();
    if (!line) return corrupt(`The fax-coded image data end after row ${y}.`);
    for (let i = 0; i < windows.length; i++) {
      const { x, y: top, height } = windows[i]!;
      const writer = writers[i]!;
      if (y < top || y >= top + height) continue;
      writer.writeCut(line, x);
      const isLast = y === top + height - 1;
      if (isLast) writer.finish();
      if (isLast || writer.output.length >= BAND_BYTES) await sinks[i]!.write(writer.output.take());
      if (isLast) await sinks[i]!.end();
    }
    if (y % LINES_PER_REPORT === LINES_PER_REPORT - 1) await onRows(y + 1, rows);
  }
}

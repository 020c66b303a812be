import { type McuWindow, mcuWindowExactly } from './jpeg-frame.ts';
import type { JpegFile } from './jpeg-markers.ts';
import { ProgressiveImage } from './jpeg-progressive.ts';
import type { ScanRewriter } from './jpeg-scan.ts';
import { ScanData } from './jpeg-scan-data.ts';
import { SequentialScan } from './jpeg-sequential.ts';
import type { PixelWindow } from './pixel-window.ts';

/** What one row of coded units added to the crops. */
export interface JpegCropStep {
  readonly rowsDone: number;
  readonly rows: number;
  readonly pieces: readonly { readonly window: number; readonly bytes: Uint8Array }[];
}

/**
 * Crops a JPEG to many windows in one pass over its data, by its coefficients: nothing is decoded to samples, so every
 * pixel of each window decodes to the value it has in the source. Each step handles one row of coded units, so that the
 * caller can write, report and stop in between.
 *
 * `crops` come from `imageCropPlans`, on coded units; any other crop throws. The pieces of a crop, in order, make up
 * its file. They are valid only after the last step, because data may turn out damaged at the very end: `ImageFault` is
 * thrown then.
 */
export function* jpegFileCropSteps(
  file: JpegFile,
  crops: readonly PixelWindow[],
  rewriters: (windows: readonly McuWindow[]) => readonly ScanRewriter[],
): Generator<JpegCropStep, void, void> {
  const { frame } = file;
  const mcus = crops.map((crop) => mcuWindowExactly(crop, frame));
  const rows = Math.max(0, ...mcus.map(({ bottom }) => bottom));
  const scans = rewriters(mcus);
  yield { rowsDone: 0, rows, pieces: crops.flatMap((crop, window) => fileHead(file, crop, window)) };
  yield { rowsDone: 0, rows, pieces: scanHead(file, scans, 0, crops.length) };
  // All scans advance together, row by row, so a progressive image needs the coefficients of only one row.
  for (let row = 0; row < rows; row++) {
    for (const scan of scans) scan.rewriteRow(row);
    yield { rowsDone: row + 1, rows, pieces: scanPieces(scans[0]!) };
  }
  for (let i = 0; i < scans.length; i++) {
    const scan = scans[i]!;
    scan.finish();
    if (i > 0) yield { rowsDone: rows, rows, pieces: scanHead(file, scans, i, crops.length) };
    yield { rowsDone: rows, rows, pieces: scanPieces(scan) };
  }
  const end = Uint8Array.of(0xff, 0xd9);
  yield { rowsDone: rows, rows, pieces: crops.map((_, window) => ({ window, bytes: end })) };
}

/** For a JPEG that is held whole in memory. */
export const scanRewriters = (
  source: Uint8Array,
  file: JpegFile,
  mcus: readonly McuWindow[],
): readonly ScanRewriter[] =>
  file.frame.coding === 'sequential'
    ? file.scans.map(
        (scan) => new SequentialScan(new ScanData(source, scan.start, scan.end), scan, file.frame, mcus),
      )
    : new ProgressiveImage(source, file, mcus).scans;

type Piece = JpegCropStep['pieces'][number];

function fileHead(file: JpegFile, crop: PixelWindow, window: number): Piece[] {
  const header = file.header.slice();
  // T.81, B.2.2: marker, length, precision, then lines and samples per line.
  header.set([crop.height >> 8, crop.height & 255, crop.width >> 8, crop.width & 255], 5);
  return [Uint8Array.of(0xff, 0xd8), ...file.lead, header].map((bytes) => ({ window, bytes }));
}

function scanHead(file: JpegFile, scans: readonly ScanRewriter[], scan: number, windows: number): Piece[] {
  const segments = [...file.scans[scan]!.lead, ...scans[scan]!.heads];
  return Array.from({ length: windows }, (_, window) => segments.map((bytes) => ({ window, bytes }))).flat();
}

const scanPieces = (scan: ScanRewriter): Piece[] =>
  scan.writers.flatMap((writer, window) => writer.drain().map((bytes) => ({ window, bytes })));

import { type Result, resultOk, resultProblem } from '../../measure/result.ts';
import { bytesJoined } from '../file/byte-stream.ts';
import { type ImageProblem, problemFromError } from './image-problem.ts';
import {
  type JpegFrame,
  type McuWindow,
  mcuWindowCovering,
  mcuWindowExactly,
  pixelWindowFromMcus,
} from './jpeg-frame.ts';
import { type JpegFile, jpegFileFromBytes } from './jpeg-markers.ts';
import { ProgressiveImage } from './jpeg-progressive.ts';
import type { ScanRewriter } from './jpeg-scan.ts';
import { ScanData } from './jpeg-scan-data.ts';
import { SequentialScan } from './jpeg-sequential.ts';
import { isPixelWindowWithin, type PixelWindow } from './pixel-window.ts';

/** A JPEG file of its own, and the pixels of the source that it holds: the window, grown to whole coded units. */
export interface JpegCrop extends PixelWindow {
  readonly bytes: Uint8Array;
}

/** What one row of coded units added to the crops. */
export interface JpegCropStep {
  readonly rowsDone: number;
  readonly rows: number;
  readonly pieces: readonly { readonly window: number; readonly bytes: Uint8Array }[];
}

/** The pixels that the crop for a window will hold, from the frame header alone. */
export const jpegCropWindow = (window: PixelWindow, frame: JpegFrame): PixelWindow =>
  pixelWindowFromMcus(mcuWindowCovering(window, frame), frame);

/**
 * Crops a JPEG to many windows in one pass over its data, in the coefficient domain: nothing is decoded
 * to samples, so every pixel of each window decodes to the value it has in the source. Windows are pixels
 * of the image and grow outwards to coded units (`jpegCropWindow`).
 *
 * A problem means that the image must stay whole. A window outside the image is a bug and throws.
 */
export function jpegCrops(
  source: Uint8Array,
  windows: readonly PixelWindow[],
): Result<readonly JpegCrop[], ImageProblem> {
  try {
    const file = jpegFileFromBytes(source);
    for (const window of windows) {
      if (!isPixelWindowWithin(window, file.frame)) {
        throw new RangeError(`The window ${JSON.stringify(window)} lies outside the image.`);
      }
    }
    const crops = windows.map((window) => jpegCropWindow(window, file.frame));
    const chunks = windows.map((): Uint8Array[] => []);
    for (const { pieces } of jpegFileCropSteps(file, crops, (mcus) => scanRewriters(source, file, mcus))) {
      for (const { window, bytes } of pieces) chunks[window]!.push(bytes);
    }
    return resultOk(crops.map((crop, i) => ({ ...crop, bytes: bytesJoined(chunks[i]!) })));
  } catch (error) {
    return resultProblem(problemFromError(error));
  }
}

/**
 * The same, a row of coded units at a time, so that the caller can write, report and stop in between.
 * `crops` must already be what `jpegCropWindow` gives, or throws. The pieces of a crop, in order, make up
 * its file; they are worth something only when the last step has been reached, for data may turn out
 * corrupt at the very end: `ImageFault` is thrown then.
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
  // All scans advance together, row by row: a progressive image then needs the coefficients of one row only.
  for (let row = 0; row < rows; row++) {
    for (const scan of scans) scan.row(row);
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

/** For a JPEG that lies in memory whole. */
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
  scan.writers.flatMap((writer, window) => writer.drained().map((bytes) => ({ window, bytes })));

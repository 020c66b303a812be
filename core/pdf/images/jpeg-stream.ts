/** Crops JPEGs whose data come in pieces. */
import { ByteBuffer, type ByteSink, type RowsReport } from '../file/byte-stream.ts';
import { corrupt, ImageFault } from './image-problem.ts';
import { type JpegCropStep, jpegFileCropSteps, scanRewriters } from './jpeg-crop.ts';
import type { JpegFrame } from './jpeg-frame.ts';
import { type JpegFile, jpegFileFromBytes, jpegFileFromHead } from './jpeg-markers.ts';
import { ScanData } from './jpeg-scan-data.ts';
import { SequentialScan } from './jpeg-sequential.ts';
import type { PixelWindow } from './pixel-window.ts';

/**
 * All scans of a JPEG in several scans are read side by side, so the whole file is held in memory, plus the output of
 * the later scans until the first is done. Larger files are left whole.
 */
export const MAX_HELD_BYTES = 128 << 20;

/** A block of 64 coefficients, each at most 16 bits of code and 15 of value (T.81, F.1.2), with every byte stuffed. */
const MAX_BLOCK_BYTES = (64 * (16 + 15) * 2) / 8;
/** A restart marker with a few fill bytes, for each unit. */
const MARKER_BYTES = 8;
/** How far the reader looks ahead. */
const AHEAD_BYTES = 1 << 14;

/**
 * Writes the files of all crops in one pass. A single scan with all components, as in nearly all baseline JPEGs, is
 * processed row by row of coded units: never more is held than one row can take. Throws `ImageFault`.
 */
export async function cropJpeg(
  data: AsyncIterable<Uint8Array>,
  crops: readonly PixelWindow[],
  sinks: readonly ByteSink[],
  onRows: RowsReport,
): Promise<void> {
  const pieces = data[Symbol.asyncIterator]();
  try {
    const held = new ByteBuffer(1 << 16);
    const file = await readJpegHead(pieces, held);
    const steps = isOneScan(file)
      ? streamedSteps(file, crops, held.take(), pieces)
      : heldSteps(crops, held, pieces);
    for await (const { pieces: written, rowsDone, rows } of steps) {
      await onRows(rowsDone, rows);
      for (const { window, bytes } of written) await sinks[window]!.write(bytes);
    }
    for (const sink of sinks) await sink.end();
  } finally {
    await pieces.return?.();
  }
}

/** Whether the file's first scan is sequential, has all components, and is the only one. */
export const isOneScan = ({ frame, scans }: JpegFile): boolean =>
  frame.coding === 'sequential' && scans[0]!.components.length === frame.components.length;

/** Reads the file up to its first scan; the bytes read stay in `held`. Throws `ImageFault`. */
export async function readJpegHead(pieces: AsyncIterator<Uint8Array>, held: ByteBuffer): Promise<JpegFile> {
  for (;;) {
    if (!(await addPiece(pieces, held))) return corrupt('The JPEG has no picture in it.');
    const file = held.length > 2 ? jpegFileFromHead(held.view()) : undefined;
    if (file) return file;
  }
}

/** Reads data until there is a row of coded units. `rowBytes` comes from `maxRowBytes`. */
export async function awaitRow(
  data: ScanData,
  pieces: AsyncIterator<Uint8Array>,
  rowBytes: number,
): Promise<void> {
  while (!data.isComplete && data.unread < rowBytes) {
    const { done, value } = await pieces.next();
    if (done) data.isComplete = true;
    else data.add(value);
  }
}

async function* streamedSteps(
  file: JpegFile,
  crops: readonly PixelWindow[],
  head: Uint8Array,
  pieces: AsyncIterator<Uint8Array>,
): AsyncGenerator<JpegCropStep> {
  const scan = file.scans[0]!;
  const data = new ScanData(head, scan.start, head.length, false);
  const rowBytes = maxRowBytes(file.frame);
  const steps = jpegFileCropSteps(file, crops, (mcus) => [new SequentialScan(data, scan, file.frame, mcus)]);
  for (;;) {
    await awaitRow(data, pieces, rowBytes);
    const step = steps.next();
    if (step.done) return;
    yield step.value;
  }
}

/** The most bytes that one row of coded units can take, plus the reader's look-ahead. */
export const maxRowBytes = ({ components, mcusAcross }: JpegFrame): number => {
  const blocks = components.reduce((sum, { across, down }) => sum + across * down, 0);
  return mcusAcross * (blocks * MAX_BLOCK_BYTES + MARKER_BYTES) + AHEAD_BYTES;
};

async function* heldSteps(
  crops: readonly PixelWindow[],
  held: ByteBuffer,
  pieces: AsyncIterator<Uint8Array>,
): AsyncGenerator<JpegCropStep> {
  const source = await holdJpeg(pieces, held);
  const file = jpegFileFromBytes(source);
  yield* jpegFileCropSteps(file, crops, (mcus) => scanRewriters(source, file, mcus));
}

/** Reads all of a JPEG in several scans; `held` is what was read so far. Throws `ImageFault` where that is too much. */
export async function holdJpeg(pieces: AsyncIterator<Uint8Array>, held: ByteBuffer): Promise<Uint8Array> {
  while (await addPiece(pieces, held)) {
    if (held.length > MAX_HELD_BYTES) {
      throw new ImageFault(
        'image-too-large',
        `The JPEG is coded in several scans and has over ${MAX_HELD_BYTES >> 20} MB, all of which would have to be held.`,
      );
    }
  }
  return held.view();
}

async function addPiece(pieces: AsyncIterator<Uint8Array>, held: ByteBuffer): Promise<boolean> {
  const { done, value } = await pieces.next();
  if (!done) held.append(value);
  return !done;
}

/** A JPEG at an eighth of its size, one row of blocks at a time. Samples use the same scale as the file's own. */
import { ByteBuffer } from '../pdf/file/byte-stream.ts';
import {
  adobeTransform,
  type DcPlane,
  DcScan,
  dcPlanes,
  dcStep,
  meanOf,
} from '../pdf/images/jpeg-averages.ts';
import { isChroma, undoChroma } from '../pdf/images/jpeg-chroma.ts';
import type { JpegFrame } from '../pdf/images/jpeg-frame.ts';
import { type JpegFile, jpegFileFromBytes } from '../pdf/images/jpeg-markers.ts';
import { ScanData } from '../pdf/images/jpeg-scan-data.ts';
import { awaitRow, holdJpeg, isOneScan, maxRowBytes, readJpegHead } from '../pdf/images/jpeg-stream.ts';

/**
 * Rows of blocks from the top, components side by side in 8 bits, with luma and chroma converted to red, green and
 * blue, or to inks. `colorTransform`: that entry of the filter's parameters. The memory of a row is reused for the
 * next. Of a single scan, one row of coded units is held; of several scans, the whole file. Throws `ImageFault`.
 */
export async function* jpegMeanRows(
  data: AsyncIterable<Uint8Array>,
  colorTransform: number | undefined,
): AsyncGenerator<Uint8Array> {
  const pieces = data[Symbol.asyncIterator]();
  try {
    const held = new ByteBuffer(1 << 16);
    const file = await readJpegHead(pieces, held);
    yield* isOneScan(file)
      ? streamedRows(file, held.take(), pieces, colorTransform)
      : heldRows(await holdJpeg(pieces, held), colorTransform);
  } finally {
    await pieces.return?.();
  }
}

async function* streamedRows(
  file: JpegFile,
  head: Uint8Array,
  pieces: AsyncIterator<Uint8Array>,
  colorTransform: number | undefined,
): AsyncGenerator<Uint8Array> {
  const { frame, scans } = file;
  const data = new ScanData(head, scans[0]!.start, head.length, false);
  const rowBytes = maxRowBytes(frame);
  const planes = dcPlanes(frame, 1);
  await awaitRow(data, pieces, rowBytes);
  const dc = new DcScan(data, scans[0]!, frame, planes);
  const rows = new BlockRows(file, planes, colorTransform);
  for (let row = 0; row < dc.rows; row++) {
    await awaitRow(data, pieces, rowBytes);
    for (const [i, plane] of planes.entries()) plane.firstRow = row * frame.components[i]!.down;
    dc.readRow(row);
    yield* rows.ofUnitRow(row);
  }
  dc.finish();
}

function* heldRows(source: Uint8Array, colorTransform: number | undefined): Generator<Uint8Array> {
  const file = jpegFileFromBytes(source);
  const planes = dcPlanes(file.frame, file.frame.mcusDown);
  for (const scan of file.scans) {
    if (scan.first !== 0) continue;
    const dc = new DcScan(new ScanData(source, scan.start, scan.end), scan, file.frame, planes);
    for (let row = 0; row < dc.rows; row++) dc.readRow(row);
    dc.finish();
  }
  const rows = new BlockRows(file, planes, colorTransform);
  for (let row = 0; row < file.frame.mcusDown; row++) yield* rows.ofUnitRow(row);
}

/** A sample of a component with coarser sampling stands for several squares. */
class BlockRows {
  readonly #frame: JpegFrame;
  readonly #planes: readonly DcPlane[];
  readonly #perLevel: readonly number[];
  readonly #isChroma: boolean;
  readonly #samples: Uint8ClampedArray;
  readonly #maxAcross: number;
  readonly #maxDown: number;

  constructor(file: JpegFile, planes: readonly DcPlane[], colorTransform: number | undefined) {
    const { frame } = file;
    this.#frame = frame;
    this.#planes = planes;
    this.#perLevel = planes.map((_, i) => dcStep(file, i) / 8);
    this.#isChroma = isChroma(frame, adobeTransform(file), colorTransform);
    this.#samples = new Uint8ClampedArray(Math.ceil(frame.width / 8) * planes.length);
    this.#maxAcross = Math.max(...frame.components.map(({ across }) => across));
    this.#maxDown = Math.max(...frame.components.map(({ down }) => down));
  }

  *ofUnitRow(unitRow: number): Generator<Uint8Array> {
    const samples = this.#samples;
    const first = unitRow * this.#maxDown;
    const end = Math.min(first + this.#maxDown, Math.ceil(this.#frame.height / 8));
    for (let row = first; row < end; row++) {
      for (const component of this.#planes.keys()) this.#writeMeans(samples, row, component);
      if (this.#isChroma) undoChroma(samples, this.#planes.length);
      yield new Uint8Array(samples.buffer);
    }
  }

  #writeMeans(samples: Uint8ClampedArray, row: number, component: number): void {
    const { across, down } = this.#frame.components[component]!;
    const { dc, blocksAcross, firstRow } = this.#planes[component]!;
    const perLevel = this.#perLevel[component]!;
    const from = (Math.floor((row * down) / this.#maxDown) - firstRow) * blocksAcross;
    const step = this.#planes.length;
    for (let column = 0, to = component; to < samples.length; column++, to += step) {
      samples[to] = meanOf(dc[from + Math.floor((column * across) / this.#maxAcross)]!, perLevel);
    }
  }
}

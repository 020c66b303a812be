/**
 * The mean of each block of 8 × 8 samples of a JPEG, read from the DC coefficients alone. This gives a picture at an
 * eighth of its size for a fraction of the work of decoding it (T.81, A.3.3: the DC coefficient is eight times the
 * mean).
 */
import { type Result, resultOk, resultProblem } from '../../measure/result.ts';
import { corrupt, type ImageProblem, problemFromError } from './image-problem.ts';
import { EntropyReader, wordAt } from './jpeg-bits.ts';
import type { JpegFrame } from './jpeg-frame.ts';
import {
  type CodeLookup,
  END_OF_BLOCK,
  type HuffmanTable,
  SHORT_SHIFT,
  stepLookup,
  symbolLookup,
} from './jpeg-huffman.ts';
import { type JpegFile, type JpegScan, jpegFileFromBytes } from './jpeg-markers.ts';
import { RestartClock, scanGeometry } from './jpeg-scan.ts';
import { ScanData } from './jpeg-scan-data.ts';

export interface JpegAverages {
  readonly frame: JpegFrame;
  /**
   * The color transform in Adobe's marker, for four components: 2 for YCCK; undefined where there is no such marker.
   */
  readonly adobeTransform: number | undefined;
  readonly components: readonly ComponentAverages[];
}

export interface ComponentAverages {
  /** Blocks per row, including the padding of the last coded unit. */
  readonly blocksAcross: number;
  /** 0 to 255, row by row. */
  readonly means: Float32Array;
}

const MIDDLE = 128;

/** Problems: damaged data, or a coding that PDF does not allow. */
export function jpegAverages(source: Uint8Array): Result<JpegAverages, ImageProblem> {
  try {
    return resultOk(averagesRead(source));
  } catch (error) {
    return resultProblem(problemFromError(error));
  }
}

function averagesRead(source: Uint8Array): JpegAverages {
  const file = jpegFileFromBytes(source);
  const { frame } = file;
  const planes = dcPlanes(frame, frame.mcusDown);
  for (const scan of file.scans) {
    if (scan.first !== 0) continue;
    const dc = new DcScan(new ScanData(source, scan.start, scan.end), scan, frame, planes);
    for (let row = 0; row < dc.rows; row++) dc.readRow(row);
    dc.finish();
  }
  return {
    frame,
    adobeTransform: adobeTransform(file),
    components: planes.map(({ blocksAcross, dc }, i) => {
      const perLevel = dcStep(file, i) / 8;
      return { blocksAcross, means: Float32Array.from(dc, (value) => meanOf(value, perLevel)) };
    }),
  };
}

/** `perLevel`: one eighth of the coefficient's quantization step. */
export const meanOf = (dc: number, perLevel: number): number =>
  Math.min(255, Math.max(0, MIDDLE + dc * perLevel));

/** The DC coefficients of one component, quantized as stored. */
export interface DcPlane {
  readonly blocksAcross: number;
  /** The row of blocks at the start of `dc`; of a large image only a few rows are held at a time. */
  firstRow: number;
  readonly dc: Int16Array;
}

/** Makes room for this many rows of coded units. */
export const dcPlanes = ({ components, mcusAcross }: JpegFrame, unitRows: number): DcPlane[] =>
  components.map(({ across, down }) => ({
    blocksAcross: mcusAcross * across,
    firstRow: 0,
    dc: new Int16Array(mcusAcross * across * unitRows * down),
  }));

interface UnitBlock {
  readonly component: number;
  readonly plane: DcPlane;
  /** Position within the coded unit, in blocks. */
  readonly x: number;
  readonly y: number;
  /** Blocks of the component in one coded unit. */
  readonly across: number;
  readonly down: number;
  readonly dc: CodeLookup | undefined;
  /** Undefined where the scan holds DC only. */
  readonly ac: CodeLookup | undefined;
}

/** One scan with DC: all of a sequential image, or the first pass or one more bit of a progressive one. */
export class DcScan {
  /** Rows of coded units. */
  readonly rows: number;
  readonly #scan: JpegScan;
  readonly #unitsAcross: number;
  readonly #reader: EntropyReader;
  readonly #clock: RestartClock;
  readonly #predictions: Int32Array;
  readonly #blocks: readonly UnitBlock[];

  constructor(data: ScanData, scan: JpegScan, frame: JpegFrame, planes: readonly DcPlane[]) {
    const { isInterleaved, unitRows, unitsAcross } = scanGeometry(scan, frame);
    this.rows = unitRows;
    this.#scan = scan;
    this.#unitsAcross = unitsAcross;
    this.#reader = new EntropyReader(data);
    this.#clock = new RestartClock(scan.restartInterval);
    this.#predictions = new Int32Array(scan.components.length);
    this.#blocks = unitBlocks(scan, frame, planes, isInterleaved);
  }

  readRow(row: number): void {
    const reader = this.#reader;
    const clock = this.#clock;
    const predictions = this.#predictions;
    const { highBit, lowBit } = this.#scan;
    for (let column = 0; column < this.#unitsAcross; column++) {
      if (clock.unitsLeft === 0) {
        reader.restart();
        clock.reset();
        predictions.fill(0);
      }
      if (reader.bit > reader.refillBit) reader.refill();
      for (const block of this.#blocks) {
        const { plane, down, across } = block;
        const at = (row * down + block.y - plane.firstRow) * plane.blocksAcross + column * across + block.x;
        if (highBit !== 0) {
          plane.dc[at]! |= (wordAt(reader.bytes, reader.bit) >>> 31) << lowBit;
          reader.bit++;
          continue;
        }
        predictions[block.component]! += dcDifference(reader, block.dc!);
        plane.dc[at] = predictions[block.component]! << lowBit;
        if (block.ac) passAc(reader, block.ac);
      }
      clock.spend(1);
    }
  }

  /** Call this after the last row. */
  finish(): void {
    this.#reader.finish();
  }
}

function unitBlocks(
  scan: JpegScan,
  frame: JpegFrame,
  planes: readonly DcPlane[],
  isInterleaved: boolean,
): UnitBlock[] {
  const needsDc = scan.highBit === 0;
  return scan.components.flatMap(({ index, dc, ac }, component) => {
    const { across, down } = isInterleaved ? frame.components[index]! : { across: 1, down: 1 };
    const block = {
      component,
      plane: planes[index]!,
      across,
      down,
      dc: needsDc ? symbolLookup(stated(dc)) : undefined,
      ac: scan.last > 0 ? stepLookup(stated(ac)) : undefined,
    };
    return Array.from({ length: across * down }, (_, i) => ({
      ...block,
      x: i % across,
      y: Math.floor(i / across),
    }));
  });
}

const stated = (table: HuffmanTable | undefined): HuffmanTable =>
  table ?? corrupt('A JPEG scan uses a Huffman table that was not stated.');

/** The difference coded for a DC coefficient (T.81, F.2.2.1). */
function dcDifference(reader: EntropyReader, lookup: CodeLookup): number {
  const entry = codeAt(reader, lookup);
  reader.bit += entry >> 8;
  const size = entry & 0xff;
  if (size === 0) return 0;
  if (size > 15) corrupt('The JPEG has a DC difference of impossible size.');
  const raw = wordAt(reader.bytes, reader.bit) >>> (32 - size);
  reader.bit += size;
  return raw >> (size - 1) === 0 ? raw - (1 << size) + 1 : raw;
}

function passAc(reader: EntropyReader, lookup: CodeLookup): void {
  let k = 1;
  while (k < 64) {
    const entry = codeAt(reader, lookup);
    reader.bit += entry & 31;
    k += entry >> 5;
  }
  if (k !== 64 && k < END_OF_BLOCK) corrupt('A JPEG block has more than 64 coefficients.');
}

function codeAt({ bytes, bit }: EntropyReader, { short, long }: CodeLookup): number {
  const word = wordAt(bytes, bit);
  const entry = short[word >>> SHORT_SHIFT]! || long[word >>> 16]!;
  return entry === 0 ? corrupt('The JPEG data hold a code that no Huffman table has.') : entry;
}

const QUANTISATION = 0xdb;
const ADOBE = 0xee;

/** The first entry of a component's quantization table (T.81, B.2.4.1). */
export function dcStep({ header, lead, scans }: JpegFile, component: number): number {
  // Marker, length, precision, lines, samples, count; then three bytes for each component.
  const slot = header[2 + 8 + 3 * component + 2]!;
  let step: number | undefined;
  for (const segment of [...lead, ...scans.flatMap((scan) => scan.lead)]) {
    if (segment[1] !== QUANTISATION) continue;
    for (let at = 4; at < segment.length; ) {
      const isWide = segment[at]! >> 4 === 1;
      if ((segment[at]! & 15) === slot && step === undefined) {
        step = isWide ? (segment[at + 1]! << 8) | segment[at + 2]! : segment[at + 1];
      }
      at += 1 + (isWide ? 128 : 64);
    }
  }
  return step ?? corrupt('The JPEG states no quantisation table for one of its components.');
}

/** The color transform in Adobe's marker, if there is one. */
export function adobeTransform({ lead }: JpegFile): number | undefined {
  const marker = lead.find(
    (segment) => segment[1] === ADOBE && String.fromCharCode(...segment.subarray(4, 9)) === 'Adobe',
  );
  return marker?.[15];
}

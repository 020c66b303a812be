import { corrupt } from './image-problem.ts';
import { EntropyReader, type EntropyWriter } from './jpeg-bits.ts';
import { CoefficientRow, type ComponentCoefficients } from './jpeg-coefficients.ts';
import type { JpegFrame, McuWindow } from './jpeg-frame.ts';
import {
  type CodeBook,
  type CodeLookup,
  codeBook,
  DC_CATEGORIES,
  type HuffmanTable,
  huffmanSegment,
  huffmanTableCovering,
  symbolLookup,
} from './jpeg-huffman.ts';
import type { JpegFile, JpegScan } from './jpeg-markers.ts';
import { ProgressiveReader } from './jpeg-progressive-reader.ts';
import { ProgressiveWriter } from './jpeg-progressive-writer.ts';
import { RestartClock, type ScanGeometry, type ScanRewriter, scanGeometry } from './jpeg-scan.ts';
import { ScanData } from './jpeg-scan-data.ts';

/**
 * Rewrites a progressive image with its own script of scans. End-of-band runs cross block borders, so the codes cannot
 * be copied: each scan is read into coefficients and written again for every window. The `scans` must be advanced
 * together, row by row, in order, because later scans refine the values of earlier ones. Output of all scans but the
 * first is held until the first is complete.
 */
export class ProgressiveImage {
  readonly scans: readonly ScanRewriter[];

  constructor(source: Uint8Array, file: JpegFile, windows: readonly McuWindow[]) {
    assertScript(file);
    const row = new CoefficientRow(file.frame);
    this.scans = file.scans.map(
      (scan, i) => new ProgressiveScan(source, scan, file.frame, windows, row, i === 0),
    );
  }
}

/** The order that T.81, G.1.1.1 requires of scans: DC first, each refinement one bit below the scan before. */
function assertScript({ frame, scans }: JpegFile): void {
  const bits = frame.components.map(() => new Int8Array(64).fill(-1));
  for (const { components, first, last, highBit, lowBit } of scans) {
    const isBand = first === 0 ? last === 0 : first <= last && last <= 63 && components.length === 1;
    if (!isBand || lowBit > 13 || (highBit !== 0 && highBit !== lowBit + 1)) {
      corrupt('A progressive JPEG scan states an impossible part of the coefficients.');
    }
    for (const { index } of components) {
      if (first > 0 && bits[index]![0] === -1)
        corrupt('A progressive JPEG has details before their block averages.');
      for (let k = first; k <= last; k++) {
        if (bits[index]![k] !== (highBit === 0 ? -1 : highBit)) {
          corrupt('The scans of the progressive JPEG are not in order.');
        }
        bits[index]![k] = lowBit;
      }
    }
  }
}

const END_OF_BANDS = Array.from({ length: 15 }, (_, size) => size << 4);
const acSymbols = (sizes: number): number[] => [
  ...END_OF_BANDS,
  0xf0,
  ...Array.from({ length: 16 * sizes }, (_, i) => (Math.floor(i / sizes) << 4) | (1 + (i % sizes))),
];
/** T.81, G.1.2.2 and table F.2: 8-bit samples give AC values of at most 10 bits. */
const AC_FIRST_SYMBOLS = acSymbols(10);
/** T.81, G.1.2.3: a refinement makes values of one bit only. */
const AC_REFINE_SYMBOLS = acSymbols(1);

interface ComponentPlan {
  readonly index: number;
  readonly across: number;
  readonly down: number;
  readonly blocksAcross: number;
  readonly values: Int16Array;
  readonly coefficients: ComponentCoefficients;
  readonly lookup: CodeLookup | undefined;
  readonly book: CodeBook | undefined;
}

interface Track {
  readonly writer: ProgressiveWriter;
  readonly predictions: Int32Array;
}

class ProgressiveScan implements ScanRewriter {
  readonly heads: readonly Uint8Array[];
  readonly writers: readonly EntropyWriter[];
  private readonly scan: JpegScan;
  private readonly geometry: ScanGeometry;
  private readonly windows: readonly McuWindow[];
  private readonly coefficients: CoefficientRow;
  private readonly isFirst: boolean;
  private readonly components: readonly ComponentPlan[];
  private readonly tracks: readonly Track[];
  private readonly bits: EntropyReader;
  private readonly reader: ProgressiveReader;
  private readonly predictions: Int32Array;
  private readonly clock: RestartClock;

  constructor(
    source: Uint8Array,
    scan: JpegScan,
    frame: JpegFrame,
    windows: readonly McuWindow[],
    coefficients: CoefficientRow,
    isFirst: boolean,
  ) {
    this.scan = scan;
    this.geometry = scanGeometry(scan, frame);
    this.windows = windows;
    this.coefficients = coefficients;
    this.isFirst = isFirst;
    this.bits = new EntropyReader(new ScanData(source, scan.start, scan.end));
    this.reader = new ProgressiveReader(this.bits, scan);
    this.clock = new RestartClock(scan.restartInterval);
    this.predictions = new Int32Array(scan.components.length);
    const heads = new Map<string, Uint8Array>();
    this.components = scan.components.map(({ index, dc, ac, dcSlot, acSlot }) => {
      const needed = scanTable(scan, dc, ac);
      let written: HuffmanTable | undefined;
      if (needed) {
        written = huffmanTableCovering(needed.table, needed.symbols);
        const slot = needed.kind === 'dc' ? dcSlot : acSlot;
        heads.set(`${needed.kind}${slot}`, huffmanSegment(needed.kind, slot, written));
      }
      const { across, down } = frame.components[index]!;
      return {
        index,
        across,
        down,
        ...coefficients.components[index]!,
        coefficients: coefficients.components[index]!,
        lookup: needed && symbolLookup(needed.table),
        book: written && codeBook(written),
      };
    });
    this.heads = [...heads.values(), scan.header];
    const acBook = scan.first > 0 ? this.components[0]!.book : undefined;
    this.tracks = windows.map(() => ({
      writer: new ProgressiveWriter(scan, acBook),
      predictions: new Int32Array(scan.components.length),
    }));
    this.writers = this.tracks.map(({ writer }) => writer.output);
  }

  rewriteRow(mcuRow: number): void {
    if (this.isFirst) this.coefficients.clear();
    this.readRow(mcuRow);
    this.windows.forEach((mcus, w) => {
      if (mcuRow >= mcus.top && mcuRow < mcus.bottom) this.writeRow(mcuRow, mcus, this.tracks[w]!);
    });
  }

  finish(): void {
    this.bits.finish();
    for (const { writer } of this.tracks) writer.finish();
  }

  private readRow(mcuRow: number): void {
    const { unitsAcross } = this.geometry;
    for (let row = 0; row < this.unitRowsIn(mcuRow); row++) {
      for (let unit = 0; unit < unitsAcross; unit++) {
        if (this.clock.unitsLeft === 0) this.restart();
        if (this.bits.bit > this.bits.refillBit) this.bits.refill();
        this.visitBlocks(row, unit, this.readBlock);
        this.clock.spend(1);
      }
    }
  }

  private writeRow(mcuRow: number, mcus: McuWindow, track: Track): void {
    const { unitsPerMcu, unitsAcross } = this.geometry;
    const left = mcus.left * unitsPerMcu;
    const right = Math.min(unitsAcross, mcus.right * unitsPerMcu);
    const writeBlock = this.blockWriter(track);
    for (let row = 0; row < this.unitRowsIn(mcuRow); row++) {
      for (let unit = left; unit < right; unit++) this.visitBlocks(row, unit, writeBlock);
    }
  }

  private unitRowsIn(mcuRow: number): number {
    const { unitRowsPerMcuRow, unitRows } = this.geometry;
    return Math.min(unitRowsPerMcuRow, unitRows - mcuRow * unitRowsPerMcuRow);
  }

  /**
   * Calls `visit` with each block of a unit: the place of its component in the scan, and the index of its first
   * coefficient.
   */
  private visitBlocks(row: number, unit: number, visit: (component: number, at: number) => void): void {
    if (!this.geometry.isInterleaved) {
      visit(0, (row * this.components[0]!.blocksAcross + unit) * 64);
      return;
    }
    for (let c = 0; c < this.components.length; c++) {
      const { across, down, blocksAcross } = this.components[c]!;
      for (let y = 0; y < down; y++) {
        for (let x = 0; x < across; x++) visit(c, (y * blocksAcross + unit * across + x) * 64);
      }
    }
  }

  private readonly readBlock = (c: number, at: number): void => {
    const { first, highBit, lowBit } = this.scan;
    const { values, lookup, coefficients } = this.components[c]!;
    if (first === 0 && highBit === 0) {
      const value = this.reader.codeDcFirst(lookup!, this.predictions[c]!);
      this.predictions[c] = value;
      values[at] = value << lowBit;
    } else if (first === 0) this.reader.codeDcRefined(values, at);
    else if (highBit === 0) this.reader.codeAcFirst(lookup!, coefficients, at);
    else this.reader.codeAcRefined(lookup!, coefficients, at);
  };

  private blockWriter({ writer, predictions }: Track): (component: number, at: number) => void {
    const { first, highBit, lowBit } = this.scan;
    const { components } = this;
    if (first > 0) {
      const { coefficients } = components[0]!;
      return highBit === 0
        ? (_, at) => writer.codeAcFirst(coefficients, at)
        : (_, at) => writer.codeAcRefined(coefficients, at);
    }
    if (highBit > 0) return (c, at) => writer.codeDcRefined(components[c]!.values, at);
    return (c, at) => {
      const { values, book } = components[c]!;
      const value = values[at]! >> lowBit;
      writer.codeDcFirst(book!, value - predictions[c]!);
      predictions[c] = value;
    };
  }

  private restart(): void {
    this.bits.restart();
    this.reader.reset();
    this.clock.reset();
    this.predictions.fill(0);
  }
}

/** The Huffman table of a scan and the symbols that a crop may need; refining DC needs none. */
function scanTable(
  { first, highBit }: JpegScan,
  dc: HuffmanTable | undefined,
  ac: HuffmanTable | undefined,
): { kind: 'dc' | 'ac'; table: HuffmanTable; symbols: readonly number[] } | undefined {
  if (first === 0 && highBit > 0) return undefined;
  const table = first === 0 ? dc : ac;
  if (!table) return corrupt('A JPEG scan uses a Huffman table that was not stated.');
  if (first === 0) return { kind: 'dc', table, symbols: DC_CATEGORIES };
  return { kind: 'ac', table, symbols: highBit === 0 ? AC_FIRST_SYMBOLS : AC_REFINE_SYMBOLS };
}

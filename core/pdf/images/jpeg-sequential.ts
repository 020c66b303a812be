import { corrupt } from './image-problem.ts';
import { EntropyReader, EntropyWriter, wordAt } from './jpeg-bits.ts';
import type { JpegFrame, McuWindow } from './jpeg-frame.ts';
import {
  type CodeBook,
  type CodeLookup,
  codeBook,
  DC_CATEGORIES,
  END_OF_BLOCK,
  huffmanSegment,
  huffmanTableCovering,
  SHORT_SHIFT,
  stepLookup,
  symbolLookup,
} from './jpeg-huffman.ts';
import type { JpegScan } from './jpeg-markers.ts';
import { RestartClock, type ScanGeometry, type ScanRewriter, scanGeometry, unitSpans } from './jpeg-scan.ts';
import type { ScanData } from './jpeg-scan-data.ts';
import { bitLength, putValue } from './jpeg-values.ts';

interface Block {
  readonly component: number;
  readonly dc: CodeLookup;
  readonly ac: CodeLookup;
  readonly dcBook: CodeBook;
}

interface Track {
  readonly writer: EntropyWriter;
  /** The last DC value written, by component of the scan. */
  readonly predictions: Int32Array;
}

/**
 * Rewrites a baseline or extended sequential scan. The AC codes of a block do not depend on its neighbors, so they are
 * stepped over and copied bit by bit with the source's own tables. The DC code is a difference from the block before,
 * which a crop changes, so it is decoded and written again. Restart markers are not copied: the header written states
 * no interval.
 */
export class SequentialScan implements ScanRewriter {
  readonly heads: readonly Uint8Array[];
  readonly writers: readonly EntropyWriter[];
  private readonly reader: EntropyReader;
  private readonly geometry: ScanGeometry;
  private readonly windows: readonly McuWindow[];
  private readonly tracks: readonly Track[];
  private readonly blocks: readonly Block[];
  private readonly predictions: Int32Array;
  private readonly clock: RestartClock;

  constructor(data: ScanData, scan: JpegScan, frame: JpegFrame, windows: readonly McuWindow[]) {
    if (scan.first !== 0 || scan.last !== 63 || scan.highBit !== 0 || scan.lowBit !== 0) {
      corrupt('A sequential JPEG scan states a part of the coefficients.');
    }
    this.reader = new EntropyReader(data);
    this.geometry = scanGeometry(scan, frame);
    this.windows = windows;
    this.clock = new RestartClock(scan.restartInterval);
    this.predictions = new Int32Array(scan.components.length);
    this.tracks = windows.map(() => ({
      writer: new EntropyWriter(),
      predictions: new Int32Array(scan.components.length),
    }));
    this.writers = this.tracks.map((track) => track.writer);
    const heads = new Map<string, Uint8Array>();
    this.blocks = scan.components.flatMap(({ index, dc, ac, dcSlot, acSlot }, component) => {
      if (!dc || !ac) return corrupt('A JPEG scan uses a Huffman table that was not stated.');
      const written = huffmanTableCovering(dc, DC_CATEGORIES);
      heads.set(`dc${dcSlot}`, huffmanSegment('dc', dcSlot, written));
      heads.set(`ac${acSlot}`, huffmanSegment('ac', acSlot, ac));
      const block = { component, dc: symbolLookup(dc), ac: stepLookup(ac), dcBook: codeBook(written) };
      const { across, down } = frame.components[index]!;
      return new Array<Block>(this.geometry.isInterleaved ? across * down : 1).fill(block);
    });
    this.heads = [...heads.values(), scan.header];
  }

  rewriteRow(mcuRow: number): void {
    const { unitRowsPerMcuRow, unitRows } = this.geometry;
    const spans = unitSpans(mcuRow, this.windows, this.geometry);
    const first = mcuRow * unitRowsPerMcuRow;
    const rows = Math.min(unitRowsPerMcuRow, unitRows - first);
    for (let row = 0; row < rows; row++) {
      for (const { left, right, windows } of spans) {
        const wanting = windows.map((w) => this.tracks[w]!);
        let unitsLeft = right - left;
        while (unitsLeft > 0) {
          if (this.clock.unitsLeft === 0) this.restart();
          const count = Math.min(unitsLeft, this.clock.unitsLeft);
          this.copyUnits(count, wanting);
          this.clock.spend(count);
          unitsLeft -= count;
        }
      }
    }
  }

  finish(): void {
    this.reader.finish();
    for (const { writer } of this.tracks) writer.finish();
  }

  private restart(): void {
    this.reader.restart();
    this.clock.reset();
    this.predictions.fill(0);
  }

  /** The inner loop: it handles every coefficient of the file once. */
  private copyUnits(count: number, tracks: readonly Track[]): void {
    const { reader, blocks, predictions } = this;
    const { bytes } = reader;
    for (let unit = 0; unit < count; unit++) {
      if (reader.bit > reader.refillBit) reader.refill();
      let bit = reader.bit;
      for (let b = 0; b < blocks.length; b++) {
        const { component, dc, ac, dcBook } = blocks[b]!;
        let word = wordAt(bytes, bit);
        let entry = dc.short[word >>> SHORT_SHIFT]!;
        if (entry === 0) entry = longEntry(dc, word);
        bit += entry >> 8;
        const size = entry & 0xff;
        if (size > 0) {
          if (size > 15) corrupt('The JPEG has a DC difference of impossible size.');
          const raw = wordAt(bytes, bit) >>> (32 - size);
          predictions[component]! += raw >> (size - 1) === 0 ? raw - (1 << size) + 1 : raw;
          bit += size;
        }
        const dcValue = predictions[component]!;
        const acStart = bit;
        let k = 1;
        const { short } = ac;
        while (k < 64) {
          word = wordAt(bytes, bit);
          entry = short[word >>> SHORT_SHIFT]!;
          if (entry === 0) entry = longEntry(ac, word);
          bit += entry & 31;
          k += entry >> 5;
        }
        if (k !== 64 && k < END_OF_BLOCK) corrupt('A JPEG block has more than 64 coefficients.');
        for (let t = 0; t < tracks.length; t++) {
          const { writer, predictions: written } = tracks[t]!;
          const difference = dcValue - written[component]!;
          written[component] = dcValue;
          const category = bitLength(difference < 0 ? -difference : difference);
          putValue(writer, dcBook, category, difference, category);
          writer.copy(bytes, acStart, bit);
        }
      }
      reader.bit = bit;
    }
  }
}

function longEntry(lookup: CodeLookup, word: number): number {
  const entry = lookup.long[word >>> 16]!;
  if (entry === 0) corrupt('The JPEG data hold a code that no Huffman table has.');
  return entry;
}

import { EntropyWriter } from './jpeg-bits.ts';
import type { ComponentCoefficients } from './jpeg-coefficients.ts';
import type { CodeBook } from './jpeg-huffman.ts';
import { bitLength, putSymbol, putValue } from './jpeg-values.ts';

const ZERO_RUN = 0xf0;
/** T.81, G.1.2.2: the longest end-of-band run has 15 bits. */
const MAX_BANDS = 0x7fff;
/** Correction bits that may wait behind an end-of-band run before the run is closed. */
const MAX_CORRECTIONS = 1024;

/** Writes the progressive scans of one window from coefficient arrays: the inverse of `ProgressiveReader`. */
export class ProgressiveWriter {
  readonly output = new EntropyWriter();
  private readonly first: number;
  private readonly last: number;
  private readonly lowBit: number;
  private readonly book: CodeBook | undefined;
  /** Blocks ended since the last code, and their correction bits, which follow the run's code. */
  private bands = 0;
  private readonly corrections = new Uint8Array(MAX_CORRECTIONS + 64);
  private correctionCount = 0;

  /** `book` is the AC table; DC scans pass theirs to each call. */
  constructor(band: { first: number; last: number; lowBit: number }, book: CodeBook | undefined) {
    this.first = band.first;
    this.last = band.last;
    this.lowBit = band.lowBit;
    this.book = book;
  }

  codeDcFirst(book: CodeBook, difference: number): void {
    const category = bitLength(Math.abs(difference));
    putValue(this.output, book, category, difference, category);
  }

  codeDcRefined(values: Int16Array, at: number): void {
    this.output.put((values[at]! >> this.lowBit) & 1, 1);
  }

  codeAcFirst({ values, extents }: ComponentCoefficients, at: number): void {
    const book = this.book!;
    let run = 0;
    const last = Math.min(this.last, extents[at >> 6]!);
    for (let k = at + this.first; k <= at + last; k++) {
      const value = values[k]!;
      if (value === 0) {
        run++;
        continue;
      }
      this.endBands();
      for (; run > 15; run -= 16) putSymbol(this.output, book, ZERO_RUN);
      // The reader set the coefficient by a shift, so this shift is exact for negatives too.
      const part = value >> this.lowBit;
      const size = bitLength(part < 0 ? -part : part);
      putValue(this.output, book, (run << 4) | size, part, size);
      run = 0;
    }
    const isEndedEarly = run > 0 || last < this.last;
    if (isEndedEarly && ++this.bands === MAX_BANDS) this.endBands();
  }

  codeAcRefined({ values, extents }: ComponentCoefficients, at: number): void {
    const { lowBit, corrections } = this;
    const last = Math.min(this.last, extents[at >> 6]!);
    const end = at + last;
    const start = at + this.first;
    const limit = 2 << lowBit;
    let lastFresh = end;
    for (; lastFresh >= start; lastFresh--) {
      const value = values[lastFresh]!;
      if (value !== 0 && value < limit && value > -limit) break;
    }
    let run = 0;
    let waiting = this.correctionCount;
    // Correction bits of this block follow those of the blocks that ended before it.
    let own = waiting;
    for (let k = start; k <= end; k++) {
      const value = values[k]!;
      if (value === 0) {
        run++;
        continue;
      }
      for (; run > 15 && k <= lastFresh; run -= 16) {
        this.putAfterBands(own, ZERO_RUN);
        this.putCorrections(own, waiting);
        waiting = own = 0;
      }
      if (value >= limit || value <= -limit) {
        corrections[waiting++] = ((value < 0 ? -value : value) >> lowBit) & 1;
        continue;
      }
      this.putAfterBands(own, (run << 4) | 1);
      this.output.put(value < 0 ? 0 : 1, 1);
      this.putCorrections(own, waiting);
      waiting = own = 0;
      run = 0;
    }
    this.correctionCount = waiting;
    if (run > 0 || waiting > own || last < this.last) {
      this.bands++;
      if (this.bands === MAX_BANDS || waiting > MAX_CORRECTIONS) this.endBands();
    }
  }

  finish(): void {
    this.endBands();
    this.output.finish();
  }

  private endBands(): void {
    if (this.bands === 0) return;
    this.putBands();
    this.putCorrections(0, this.correctionCount);
    this.correctionCount = 0;
  }

  /** Writes a code of this block: first the blocks that ended before it, with their `before` correction bits. */
  private putAfterBands(before: number, symbol: number): void {
    if (this.bands > 0) {
      this.putBands();
      this.putCorrections(0, before);
    }
    putSymbol(this.output, this.book!, symbol);
  }

  private putBands(): void {
    const size = bitLength(this.bands) - 1;
    putSymbol(this.output, this.book!, size << 4);
    if (size > 0) this.output.put(this.bands - (1 << size), size);
    this.bands = 0;
  }

  private putCorrections(from: number, to: number): void {
    const { corrections } = this;
    for (let i = from; i < to; ) {
      const stop = Math.min(to, i + 16);
      let bits = 0;
      const length = stop - i;
      while (i < stop) bits = (bits << 1) | corrections[i++]!;
      this.output.put(bits, length);
    }
  }
}

import { corrupt } from './image-problem.ts';
import { type EntropyReader, wordAt } from './jpeg-bits.ts';
import type { ComponentCoefficients } from './jpeg-coefficients.ts';
import { type CodeLookup, SHORT_SHIFT } from './jpeg-huffman.ts';

/** Reads the four kinds of progressive block coding (T.81, G.1.2) into coefficient arrays in zigzag order. */
export class ProgressiveReader {
  private readonly reader: EntropyReader;
  private readonly first: number;
  private readonly last: number;
  private readonly lowBit: number;
  /** Blocks that remain in the current end-of-band run. */
  private bandsLeft = 0;

  constructor(reader: EntropyReader, band: { first: number; last: number; lowBit: number }) {
    this.reader = reader;
    this.first = band.first;
    this.last = band.last;
    this.lowBit = band.lowBit;
  }

  /** Call this after a restart marker: end-of-band runs do not cross it. */
  reset(): void {
    this.bandsLeft = 0;
  }

  /** First DC scan: returns the DC value at this scan's precision, given that of the block before. */
  codeDcFirst(lookup: CodeLookup, prediction: number): number {
    const size = this.symbol(lookup);
    if (size > 15) corrupt('The JPEG has a DC difference of impossible size.');
    return prediction + this.value(size);
  }

  codeDcRefined(values: Int16Array, at: number): void {
    values[at]! |= this.bits(1) << this.lowBit;
  }

  codeAcFirst(lookup: CodeLookup, { values, extents }: ComponentCoefficients, at: number): void {
    if (this.bandsLeft > 0) {
      this.bandsLeft--;
      return;
    }
    for (let k = this.first; k <= this.last; k++) {
      const symbol = this.symbol(lookup);
      const run = symbol >> 4;
      const size = symbol & 15;
      if (size > 0) {
        k += run;
        if (k > this.last) corrupt('A run of the JPEG leads beyond its band.');
        values[at + k] = this.value(size) << this.lowBit;
        if (k > extents[at >> 6]!) extents[at >> 6] = k;
      } else if (run === 15) {
        k += 15;
      } else {
        this.bandsLeft = this.runOfBands(run) - 1;
        return;
      }
    }
  }

  codeAcRefined(lookup: CodeLookup, { values, extents }: ComponentCoefficients, at: number): void {
    const end = at + this.last;
    let i = at + this.first;
    let lastNonzero = at + extents[at >> 6]!;
    if (this.bandsLeft === 0) {
      while (i <= end) {
        const symbol = this.symbol(lookup);
        const run = symbol >> 4;
        const size = symbol & 15;
        let fresh = 0;
        if (size === 1) fresh = (this.bits(1) === 1 ? 1 : -1) << this.lowBit;
        else if (size > 1) corrupt('A refinement of the JPEG adds more than one bit.');
        else if (run < 15) {
          this.bandsLeft = this.runOfBands(run);
          break;
        }
        i = this.correct(values, i, end, lastNonzero, run);
        if (fresh !== 0) {
          if (i > end) corrupt('A run of the JPEG leads beyond its band.');
          values[i] = fresh;
          if (i > lastNonzero) lastNonzero = i;
        }
        i++;
      }
    }
    if (this.bandsLeft > 0) {
      this.correct(values, i, end, lastNonzero, 64);
      this.bandsLeft--;
    }
    extents[at >> 6] = lastNonzero - at;
  }

  /**
   * Skips `run` coefficients that are still zero and returns the place of the next zero one, or `end + 1`. Nonzero
   * coefficients do not count for the run; each takes a correction bit.
   */
  private correct(values: Int16Array, from: number, end: number, lastNonzero: number, run: number): number {
    const { bytes } = this.reader;
    const step = 1 << this.lowBit;
    let { bit } = this.reader;
    let left = run;
    let i = from;
    const stop = Math.min(lastNonzero, end);
    for (; i <= stop; i++) {
      const value = values[i]!;
      if (value === 0) {
        if (left-- === 0) {
          this.reader.bit = bit;
          return i;
        }
      } else {
        if ((bytes[bit >> 3]! >> (7 - (bit & 7))) & 1) values[i] = value > 0 ? value + step : value - step;
        bit++;
      }
    }
    this.reader.bit = bit;
    // The rest of the block is zero.
    return i + left <= end ? i + left : end + 1;
  }

  /** T.81, table G.1: the number of blocks, including this one, that end here. */
  private runOfBands(run: number): number {
    return (1 << run) + (run > 0 ? this.bits(run) : 0);
  }

  private symbol(lookup: CodeLookup): number {
    const word = this.word();
    let entry = lookup.short[word >>> SHORT_SHIFT]!;
    if (entry === 0) {
      entry = lookup.long[word >>> 16]!;
      if (entry === 0) corrupt('The JPEG data hold a code that no Huffman table has.');
    }
    this.reader.bit += entry >> 8;
    return entry & 0xff;
  }

  /** A number of `size` bits; the lower half of the range means negatives (T.81, F.2.2.1, EXTEND). */
  private value(size: number): number {
    if (size === 0) return 0;
    const raw = this.bits(size);
    return raw >> (size - 1) === 0 ? raw - (1 << size) + 1 : raw;
  }

  /** Reads 1 to 16 bits. */
  private bits(count: number): number {
    const bits = this.word() >>> (32 - count);
    this.reader.bit += count;
    return bits;
  }

  private word(): number {
    return wordAt(this.reader.bytes, this.reader.bit);
  }
}

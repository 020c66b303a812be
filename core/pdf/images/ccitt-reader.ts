import {
  BLACK_RUNS,
  MODE_HORIZONTAL,
  MODE_LOOKUP_BITS,
  MODE_PASS,
  modeLookup,
  RUN_LOOKUP_BITS,
  runLookup,
  WHITE_RUNS,
} from './ccitt-codes.ts';
import { ChangeLine } from './ccitt-line.ts';
import { corrupt } from './image-problem.ts';

/** ISO 32000-1, Table 11. */
export interface CcittParms {
  /** Below 0: Group 4. 0: Group 3, one-dimensional. Above 0: Group 3, lines of both kinds. */
  readonly k: number;
  readonly columns: number;
  readonly isByteAligned: boolean;
}

const WHITE = runLookup(WHITE_RUNS);
const BLACK = runLookup(BLACK_RUNS);
const MODES = modeLookup();

/**
 * Decodes CCITT fax data line by line (T.4, T.6). End-of-line codes are passed over wherever they stand, with
 * their fill bits, as ISO 32000-1, 7.4.6, asks. Damaged lines are not patched up, for every reader would do it
 * in its own way: they throw `ImageFault`.
 */
export class CcittReader {
  private readonly bytes: Uint8Array;
  private readonly bitCount: number;
  private readonly parms: CcittParms;
  private bit = 0;
  private line: ChangeLine;
  private reference: ChangeLine;

  constructor(data: Uint8Array, parms: CcittParms) {
    // Zeros behind the end let the lookups read ahead.
    this.bytes = new Uint8Array(data.length + 8);
    this.bytes.set(data);
    this.bitCount = data.length * 8;
    this.parms = parms;
    this.line = new ChangeLine(parms.columns);
    this.reference = new ChangeLine(parms.columns);
  }

  /** The next line, valid until the one after it is read. Undefined: the data end here, by a mark or without. */
  next(): ChangeLine | undefined {
    const { k, isByteAligned } = this.parms;
    if (isByteAligned) this.bit = (this.bit + 7) & ~7;
    const ends = this.endsOfLine();
    // Two in a row are the end of the block in Group 4, and the beginning of it (six) in Group 3.
    if (ends > 1 || this.bit >= this.bitCount) return undefined;
    const isTwoDimensional = k < 0 || (k > 0 && ends === 0 && this.take(1) === 0) || this.isTagged2D;
    [this.line, this.reference] = [this.reference, this.line];
    this.line.clear();
    if (isTwoDimensional) this.readTwoDimensional();
    else this.readOneDimensional();
    this.line.close();
    if (this.bit > this.bitCount) corrupt('The fax-coded image data end inside a line.');
    return this.line;
  }

  private isTagged2D = false;

  /** Passes over end-of-line codes and the tag bits behind them (T.4, 4.2.2); returns how many there were. */
  private endsOfLine(): number {
    let ends = 0;
    this.isTagged2D = false;
    // No line begins with eleven zeros: they are fill bits or belong to the code.
    while (this.bit < this.bitCount && this.peek(11) === 0) {
      while (this.bit < this.bitCount && this.peek(1) === 0) this.bit++;
      if (this.bit >= this.bitCount) break;
      this.bit++;
      ends++;
      if (this.parms.k > 0) this.isTagged2D = this.take(1) === 0;
    }
    return ends;
  }

  private readOneDimensional(): void {
    const { columns } = this.parms;
    let place = 0;
    let isBlack = false;
    while (place < columns) {
      place += this.run(isBlack);
      this.addChange(place);
      isBlack = !isBlack;
    }
  }

  /** T.4, 4.2.1.3, and T.6, 2.2: each change is coded by where the line above changes. */
  private readTwoDimensional(): void {
    const { columns } = this.parms;
    const above = this.reference.at;
    let place = 0;
    let isBlack = false;
    // b1: the first change above, right of the place, that leads away from the current color.
    let b = 0;
    let isStart = true;
    while (place < columns) {
      b = changeAbove(above, b, place, isBlack, isStart, columns);
      const entry = MODES[this.peek(MODE_LOOKUP_BITS)]!;
      const mode = entry >> 4;
      if (entry === 0)
        corrupt('The fax-coded image data hold a code that does not exist or is not supported.');
      this.bit += entry & 15;
      if (mode === MODE_PASS) {
        place = above[b + 1]!;
      } else if (mode === MODE_HORIZONTAL) {
        place += this.run(isBlack);
        this.addChange(place);
        place += this.run(!isBlack);
        this.addChange(place);
      } else {
        const next = above[b]! + mode - 4;
        if (next < place || (next === place && !isStart))
          corrupt('A line of the fax-coded image runs backwards.');
        place = next;
        this.addChange(place);
        isBlack = !isBlack;
      }
      isStart = false;
    }
  }

  private addChange(place: number): void {
    if (place > this.parms.columns)
      corrupt('A line of the fax-coded image is longer than the image is wide.');
    this.line.add(place);
  }

  private run(isBlack: boolean): number {
    const table = isBlack ? BLACK : WHITE;
    let length = 0;
    for (;;) {
      const entry = table[this.peek(RUN_LOOKUP_BITS)]!;
      if (entry === 0) corrupt('The fax-coded image data hold a code that does not exist.');
      this.bit += entry & 15;
      const run = entry >> 4;
      length += run;
      if (run < 64) return length;
      if (this.bit > this.bitCount) corrupt('The fax-coded image data end inside a line.');
    }
  }

  private take(count: number): number {
    const value = this.peek(count);
    this.bit += count;
    return value;
  }

  private peek(count: number): number {
    const i = this.bit >> 3;
    const { bytes } = this;
    const word = ((bytes[i]! << 24) | (bytes[i + 1]! << 16) | (bytes[i + 2]! << 8)) << (this.bit & 7);
    return word >>> (32 - count);
  }
}

/** Index of b1 (T.4, 4.2.1.1), searched on from a place left of it or one color off. */
function changeAbove(
  above: Int32Array,
  from: number,
  place: number,
  isBlack: boolean,
  isStart: boolean,
  columns: number,
): number {
  const parity = isBlack ? 1 : 0;
  let b = (from & 1) === parity ? from : from > 0 ? from - 1 : from + 1;
  while (b >= 2 && above[b - 2]! > place) b -= 2;
  // At the start of a line the place is before the first element, so a change at 0 counts.
  while (above[b]! < columns && (isStart ? false : above[b]! <= place)) b += 2;
  return b;
}

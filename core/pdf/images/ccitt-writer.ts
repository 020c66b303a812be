import { ByteBuffer } from '../file/byte-stream.ts';
import {
  type BitCode,
  BLACK_RUNS,
  END_OF_LINE,
  HORIZONTAL,
  LONGEST_MAKE_UP,
  PASS,
  VERTICAL,
  VERTICAL_REACH,
  WHITE_RUNS,
} from './ccitt-codes.ts';
import { ChangeLine } from './ccitt-line.ts';

/** Codes lines by Group 4 (T.6): `/K -1`. */
export class Group4Writer {
  readonly output = new ByteBuffer(1 << 16);
  private reference: ChangeLine;
  private spare: ChangeLine;
  private pending = 0;
  private pendingBits = 0;

  constructor(width: number) {
    this.reference = new ChangeLine(width);
    this.spare = new ChangeLine(width);
  }

  /** Writes the columns of a line that begin at `left`. */
  writeCut(source: ChangeLine, left: number): void {
    const line = this.spare;
    line.cutFrom(source, left);
    this.write(line, this.reference);
    this.spare = this.reference;
    this.reference = line;
  }

  /** Ends the block (T.6, 2.4.1.1: EOFB, two end-of-line codes) and fills the last byte. */
  finish(): void {
    this.put(END_OF_LINE);
    this.put(END_OF_LINE);
    if (this.pendingBits > 0) this.put({ bits: 0, length: 8 - this.pendingBits });
  }

  private write({ at, width }: ChangeLine, above: ChangeLine): void {
    const changes = above.at;
    // Before the first element, so that a change at place 0 lies right of it.
    let place = -1;
    let a = 0;
    let b = 0;
    let isBlack = false;
    while (place < width) {
      const a1 = at[a]!;
      while (b > 0 && changes[b - 1]! > place) b--;
      while (changes[b]! < width && (changes[b]! <= place || (b & 1) !== (isBlack ? 1 : 0))) b++;
      const b1 = changes[b]!;
      const b2 = changes[b + 1]!;
      if (b2 < a1) {
        this.put(PASS);
        place = b2;
      } else if (Math.abs(a1 - b1) <= VERTICAL_REACH) {
        this.put(VERTICAL[a1 - b1 + VERTICAL_REACH]!);
        place = a1;
        a++;
        isBlack = !isBlack;
      } else {
        const a2 = at[a + 1]!;
        this.put(HORIZONTAL);
        this.putRun(isBlack, a1 - Math.max(0, place));
        this.putRun(!isBlack, a2 - a1);
        place = a2;
        a += 2;
      }
    }
  }

  private putRun(isBlack: boolean, run: number): void {
    const { terminating, makeUp } = isBlack ? BLACK_RUNS : WHITE_RUNS;
    let left = run;
    for (; left > LONGEST_MAKE_UP + 63; left -= LONGEST_MAKE_UP) this.put(makeUp[LONGEST_MAKE_UP / 64]!);
    if (left > 63) this.put(makeUp[left >> 6]!);
    this.put(terminating[left & 63]!);
  }

  private put({ bits, length }: BitCode): void {
    this.pending = ((this.pending << length) | bits) & 0xfffff;
    this.pendingBits += length;
    while (this.pendingBits >= 8) {
      this.pendingBits -= 8;
      this.output.push((this.pending >> this.pendingBits) & 0xff);
    }
  }
}

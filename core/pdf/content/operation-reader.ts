import {
  hexStringBytes,
  isDelimiter,
  isDigit,
  isNumeric,
  isRegular,
  isWhite,
  latin1,
  literalStringBytes,
  numberFromBytes,
} from '../file/syntax.ts';
import { inlineImageEnd } from './inline-image.ts';
import { OPERAND } from './operand.ts';

/**
 * Far more than any operator takes; character maps list up to 300 strings. If there are more, only the last ones are
 * kept.
 */
const MAX_OPERANDS = 512;
const MAX_NESTING = 64;
/** A number with at most this many characters is exact as its digits divided by a power of ten. */
const MAX_EXACT_DIGITS = 15;
// Parsed from text, not computed: engines may round powers differently, and panels must come out the same everywhere.
const POWERS_OF_TEN = Float64Array.from({ length: MAX_EXACT_DIGITS + 1 }, (_, i) => Number(`1e${i}`));
const ENDED = -1;
const MORE = -2;

/**
 * An operator's letters as one number, so that comparing operators needs no strings. 0 for text too long to be an
 * operator.
 */
export function operatorCode(text: string): number {
  let code = 0;
  for (const char of text) code = code * 256 + char.charCodeAt(0);
  return text.length <= 3 ? code : 0;
}

const BEGIN_IMAGE = operatorCode('BI');
const IMAGE_DATA = operatorCode('ID');

/**
 * Reads a content stream operator by operator, ISO 32000-1, 7.8.2. Bytes may come in any pieces: `push` them, then call
 * `next` until it returns `more` or `end`. The reader keeps one operation at a time in its own fields, so millions of
 * operations create no objects. It never fails: it skips what it cannot read.
 */
export class OperationReader {
  /** The bytes held now; the ranges below count from its start. */
  bytes: Uint8Array = new Uint8Array();
  /** Offset of `bytes` in the whole content. */
  base = 0;
  /** Code of the operator (`operatorCode`); 0 for one that is too long to be known. */
  operator = 0;
  /** Where the operator itself begins in `bytes`. */
  operatorStart = 0;
  /** Range of the operation in `bytes`, operands included. */
  start = 0;
  end = 0;
  /** How many operands come before the operator, and what they are. */
  count = 0;
  readonly kinds = new Uint8Array(MAX_OPERANDS);
  readonly values = new Float64Array(MAX_OPERANDS);
  readonly starts = new Int32Array(MAX_OPERANDS);
  readonly ends = new Int32Array(MAX_OPERANDS);
  /**
   * For `BI`: the operation is the whole inline image; its entries are the operands, and its data is this range of
   * `bytes`.
   */
  dataStart = 0;
  dataEnd = 0;

  #at = 0;
  #isLast = false;

  /** Adds the next piece; `isLast` says that no other follows. Ranges read before are no longer valid. */
  push(piece: Uint8Array, isLast: boolean): void {
    const rest = this.bytes.subarray(this.#at);
    if (rest.length === 0) {
      this.bytes = piece;
    } else {
      this.bytes = new Uint8Array(rest.length + piece.length);
      this.bytes.set(rest);
      this.bytes.set(piece, rest.length);
    }
    this.base += this.#at;
    this.#at = 0;
    this.#isLast = isLast;
  }

  /** Reads the next operation into the fields. `more`: push the next piece and call again. */
  next(): 'operation' | 'more' | 'end' {
    const from = this.#at;
    const end = this.#operation();
    if (end === MORE) {
      this.#at = from;
      return 'more';
    }
    if (end === ENDED) {
      this.#at = this.bytes.length;
      return 'end';
    }
    this.end = end;
    return 'operation';
  }

  /** The operator as written, for the few that have more than three letters. */
  get operatorText(): string {
    return latin1(this.bytes, this.operatorStart, Math.min(this.end, this.operatorStart + 32));
  }

  /** The number at operand `i`, counted from the first; 0 where there is none. */
  number(i: number): number {
    return i >= 0 && i < this.count && this.kinds[i] === OPERAND.number ? this.values[i]! : 0;
  }

  isNumber(i: number): boolean {
    return i >= 0 && i < this.count && this.kinds[i] === OPERAND.number;
  }

  /** The name at operand `i` without its slash, escapes undone. */
  name(i: number): string | undefined {
    if (i < 0 || i >= this.count || this.kinds[i] !== OPERAND.name) return undefined;
    const text = latin1(this.bytes, this.starts[i]! + 1, this.ends[i]!);
    return text.includes('#') ? nameUnescaped(text) : text;
  }

  /** The bytes of operand `i` as written. */
  written(i: number): Uint8Array {
    return this.bytes.subarray(this.starts[i], this.ends[i]);
  }

  /** The bytes that the string at operand `i` represents. */
  string(i: number): Uint8Array | undefined {
    const start = this.starts[i]! + 1;
    const end = this.ends[i]! - 1;
    if (this.kinds[i] === OPERAND.literal) return literalStringBytes(this.bytes, start, end);
    return this.kinds[i] === OPERAND.hex ? hexStringBytes(this.bytes, start, end) : undefined;
  }

  #operation(): number {
    this.count = 0;
    this.start = -1;
    let isInImage = false;
    for (;;) {
      const at = this.#skipWhite(this.#at);
      if (at === this.bytes.length) return this.#isLast ? ENDED : MORE;
      if (this.start < 0) this.start = at;
      const end = this.#operand(at, 0);
      if (end === MORE) return MORE;
      if (end > at) {
        this.#at = end;
        continue;
      }
      const byte = this.bytes[at]!;
      if (isDelimiter(byte)) {
        // A closing bracket without an opening one.
        this.#at = at + 1;
        if (this.count === 0) this.start = -1;
        continue;
      }
      const wordEnd = this.#operatorEnd(at);
      if (wordEnd === this.bytes.length && !this.#isLast) return MORE;
      this.#at = wordEnd;
      this.operatorStart = at;
      const code = this.#code(at, wordEnd);
      if (code === BEGIN_IMAGE && !isInImage) {
        isInImage = true;
        this.count = 0;
        continue;
      }
      if (isInImage && code === IMAGE_DATA) return this.#imageData(wordEnd);
      this.operator = code;
      return wordEnd;
    }
  }

  #imageData(afterKeyword: number): number {
    if (afterKeyword >= this.bytes.length) return this.#isLast ? ENDED : MORE;
    this.dataStart = afterKeyword + 1;
    const end = inlineImageEnd(this, this.dataStart, this.#isLast);
    if (end === undefined) return MORE;
    this.dataEnd = end.dataEnd;
    this.operator = BEGIN_IMAGE;
    this.#at = end.after;
    return end.after;
  }

  /** Reads an operand at `at`. Returns its end, `at` where no operand begins, or MORE. */
  #operand(at: number, depth: number): number {
    const byte = this.bytes[at]!;
    let kind: number;
    let end: number;
    if (isNumeric(byte)) return this.#number(at, depth);
    if (byte === 0x2f) {
      kind = OPERAND.name;
      end = this.#regularEnd(at + 1);
      if (end === this.bytes.length && !this.#isLast) return MORE;
    } else if (byte === 0x28) {
      kind = OPERAND.literal;
      end = this.#literalEnd(at);
    } else if (byte === 0x5b) {
      kind = OPERAND.array;
      end = this.#nestedEnd(at + 1, 0x5d, depth);
    } else if (byte === 0x3c) {
      if (at + 1 === this.bytes.length && !this.#isLast) return MORE;
      if (this.bytes[at + 1] === 0x3c) {
        kind = OPERAND.dict;
        end = this.#nestedEnd(at + 2, 0x3e, depth);
      } else {
        kind = OPERAND.hex;
        const found = this.bytes.indexOf(0x3e, at);
        end = found >= 0 ? found + 1 : this.#isLast ? this.bytes.length : MORE;
      }
    } else if (byte === 0x74 || byte === 0x66 || byte === 0x6e) {
      end = this.#regularEnd(at);
      if (end === this.bytes.length && !this.#isLast) return MORE;
      if (end - at < 4) return at;
      const word = latin1(this.bytes, at, Math.min(end, at + 6));
      if (word !== 'true' && word !== 'false' && word !== 'null') return at;
      kind = OPERAND.word;
    } else {
      return at;
    }
    if (end !== MORE && depth === 0) this.#add(kind, at, end, 0);
    return end;
  }

  /** Most tokens are numbers, so sign, digits, point and digits are read in one loop, and unusual forms after it. */
  #number(at: number, depth: number): number {
    const { bytes } = this;
    const length = bytes.length;
    let end = bytes[at] === 0x2d ? at + 1 : at;
    let digits = 0;
    let byte = 0;
    for (; end < length; end++) {
      byte = bytes[end]!;
      if (byte < 0x30 || byte > 0x39) break;
      digits = digits * 10 + byte - 0x30;
    }
    let decimals = 0;
    if (byte === 0x2e && end < length) {
      const point = end++;
      for (; end < length; end++) {
        byte = bytes[end]!;
        if (byte < 0x30 || byte > 0x39) break;
        digits = digits * 10 + byte - 0x30;
      }
      decimals = end - point - 1;
    }
    if (end === length && !this.#isLast) return MORE;
    let value: number;
    if (end - at > MAX_EXACT_DIGITS || (end < length && isNumeric(byte)) || end === at) {
      end = this.#numberEnd(at);
      if (end === length && !this.#isLast) return MORE;
      value = numberFromBytes(bytes, at, end);
    } else {
      value = digits / POWERS_OF_TEN[decimals]!;
      if (bytes[at] === 0x2d) value = -value;
    }
    if (depth === 0) this.#add(OPERAND.number, at, end, value);
    return end;
  }

  #add(kind: number, start: number, end: number, value: number): void {
    if (this.count === MAX_OPERANDS) {
      for (const list of [this.kinds, this.values, this.starts, this.ends]) list.copyWithin(0, 1);
      this.count--;
    }
    const i = this.count++;
    this.kinds[i] = kind;
    this.starts[i] = start;
    this.ends[i] = end;
    this.values[i] = value;
  }

  /** The end of an array or dictionary. It also ends before an operator, which cannot be inside one. */
  #nestedEnd(from: number, closing: number, depth: number): number {
    let at = from;
    for (;;) {
      at = this.#skipWhite(at);
      if (at === this.bytes.length) return this.#isLast ? at : MORE;
      const byte = this.bytes[at]!;
      if (byte === closing) {
        if (closing !== 0x3e) return at + 1;
        if (at + 1 === this.bytes.length && !this.#isLast) return MORE;
        return this.bytes[at + 1] === 0x3e ? at + 2 : at + 1;
      }
      if (depth >= MAX_NESTING) return at;
      const end = this.#operand(at, depth + 1);
      if (end === MORE) return MORE;
      if (end > at) at = end;
      else if (isDelimiter(byte)) at++;
      else return at;
    }
  }

  #skipWhite(from: number): number {
    const { bytes } = this;
    let at = from;
    while (at < bytes.length) {
      const byte = bytes[at]!;
      if (byte === 0x25) {
        while (at < bytes.length && bytes[at] !== 0x0a && bytes[at] !== 0x0d) at++;
        // The end of the comment is not in `bytes` yet: resume at its start when there are more bytes.
      } else if (isWhite(byte)) at++;
      else break;
    }
    return at;
  }

  #regularEnd(from: number): number {
    let end = from;
    while (end < this.bytes.length && isRegular(this.bytes[end]!)) end++;
    return end;
  }

  /** The end of digits, signs and points; a letter right after them begins the next token, as in `0.5w`. */
  #numberEnd(from: number): number {
    let end = from + 1;
    while (end < this.bytes.length && isNumeric(this.bytes[end]!)) {
      // A sign inside a number begins the next number, as in `5-3`.
      if (!isDigit(this.bytes[end]!) && this.bytes[end] !== 0x2e && this.#hasDigit(from, end)) break;
      end++;
    }
    return end;
  }

  #hasDigit(from: number, end: number): boolean {
    for (let at = from; at < end; at++) if (isDigit(this.bytes[at]!)) return true;
    return false;
  }

  #operatorEnd(from: number): number {
    let end = from + 1;
    while (end < this.bytes.length && isRegular(this.bytes[end]!)) end++;
    return end;
  }

  #literalEnd(from: number): number {
    const { bytes } = this;
    let depth = 0;
    for (let at = from; at < bytes.length; at++) {
      const byte = bytes[at];
      if (byte === 0x5c) at++;
      else if (byte === 0x28) depth++;
      else if (byte === 0x29 && --depth === 0) return at + 1;
    }
    return this.#isLast ? bytes.length : MORE;
  }

  #code(start: number, end: number): number {
    if (end - start > 3) return 0;
    let code = 0;
    for (let at = start; at < end; at++) code = code * 256 + this.bytes[at]!;
    return code;
  }
}

const nameUnescaped = (text: string): string =>
  text.replace(/#([0-9a-fA-F]{2})/g, (_, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)));

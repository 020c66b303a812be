/**
 * Reads a content stream operator by operator (ISO 32000-1, 7.8.2), for the verification only. It shares no code with
 * the cut's reader, so that a mistake in one shows in the other. It skips what it cannot read.
 */
import { hashed, hashedBytes } from './content-hash.ts';

const SPACE = 1;
const DELIMITER = 2;
const CLASSES = new Uint8Array(256);
for (const byte of [0, 9, 10, 12, 13, 32]) CLASSES[byte] = SPACE;
for (const char of '()<>[]{}/%') CLASSES[char.charCodeAt(0)] = DELIMITER;

const MAX_OPERANDS = 64;
const LATIN1 = Array.from({ length: 256 }, (_, code) => String.fromCharCode(code));

/** An operand: a number, a name, or anything else as the range of its bytes. */
export type Operand = number | { readonly name: string } | { readonly start: number; readonly end: number };

export class ContentReader {
  operator = '';
  readonly operands: Operand[] = [];
  /** The hash of all operands: numbers by value, anything else by its bytes. */
  operandsHash = 0;
  /** The data of an inline image. */
  data: Uint8Array | undefined;
  readonly #bytes: Uint8Array;
  #at = 0;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
  }

  /** Reads the next operator with its operands; false at the end. */
  next(): boolean {
    this.operands.length = 0;
    this.operandsHash = 0;
    this.data = undefined;
    for (;;) {
      this.#skipSpace();
      const { operands } = this;
      const start = this.#at;
      if (start >= this.#bytes.length) return false;
      const operand = this.#operand();
      if (operand === undefined) {
        if (this.#at === start) {
          // A closing bracket without an opening one.
          this.#at++;
          continue;
        }
        this.operator = this.#text(start, this.#at);
        if (this.operator === 'BI') this.#readInlineImage();
        return true;
      }
      this.operandsHash =
        typeof operand === 'number'
          ? hashed(this.operandsHash, operand)
          : hashedBytes(this.operandsHash, this.#bytes, start, this.#at);
      if (operands.length === MAX_OPERANDS) operands.shift();
      operands.push(operand);
    }
  }

  number(index: number): number {
    const operand = this.operands[index];
    return typeof operand === 'number' ? operand : 0;
  }

  /** The name at a place counted from the first operand, or from the last where negative. */
  name(index: number): string | undefined {
    const operand = this.operands.at(index);
    return typeof operand === 'object' && 'name' in operand ? operand.name : undefined;
  }

  /** An operand as written. */
  written(index: number): string {
    const operand = this.operands.at(index);
    if (typeof operand === 'number') return String(operand);
    if (operand === undefined) return '';
    return 'name' in operand ? `/${operand.name}` : this.#text(operand.start, operand.end);
  }

  /** Whether the last operand contains a string that is not empty. */
  hasText(): boolean {
    const operand = this.operands.at(-1);
    if (typeof operand !== 'object' || 'name' in operand) return false;
    const text = this.written(-1);
    return /[(][^)]/.test(text) || /<\s*[0-9A-Fa-f]/.test(text);
  }

  #operand(): Operand | undefined {
    const bytes = this.#bytes;
    const start = this.#at;
    const byte = bytes[start]!;
    switch (byte) {
      case 0x2f: {
        this.#at = this.#regularEnd(start + 1);
        return { name: nameText(this.#text(start + 1, this.#at)) };
      }
      case 0x28:
        this.#skipLiteral();
        return { start, end: this.#at };
      case 0x3c:
        if (bytes[start + 1] === 0x3c) this.#skipNested('>>');
        else {
          const end = bytes.indexOf(0x3e, start);
          this.#at = end < 0 ? bytes.length : end + 1;
        }
        return { start, end: this.#at };
      case 0x5b:
        this.#skipNested(']');
        return { start, end: this.#at };
    }
    if (CLASSES[byte] === DELIMITER) return undefined;
    if (isNumeric(byte)) return this.#number();
    this.#at = this.#regularEnd(start);
    const length = this.#at - start;
    if (length < 4 || length > 5) return undefined;
    const word = this.#text(start, this.#at);
    return word === 'true' || word === 'false' || word === 'null' ? { start, end: this.#at } : undefined;
  }

  /** Digits, a sign, a point; a letter after them begins the next word. */
  #number(): number {
    const bytes = this.#bytes;
    let at = this.#at;
    let sign = 1;
    while (bytes[at] === 0x2b || bytes[at] === 0x2d) if (bytes[at++] === 0x2d) sign = -1;
    let value = 0;
    let scale = 0;
    for (; at < bytes.length; at++) {
      const byte = bytes[at]!;
      if (byte >= 0x30 && byte <= 0x39) {
        value = value * 10 + byte - 0x30;
        scale *= 10;
      } else if (byte === 0x2e && scale === 0) scale = 1;
      else break;
    }
    // A second point and the digits after it are ignored, as in 1.2.3.
    while (at < bytes.length && (bytes[at] === 0x2e || isDigit(bytes[at]!)) && scale !== 0) at++;
    this.#at = at;
    return scale > 1 ? (sign * value) / scale : sign * value;
  }

  #skipSpace(): void {
    const bytes = this.#bytes;
    for (; this.#at < bytes.length; this.#at++) {
      const byte = bytes[this.#at]!;
      if (byte === 0x25) {
        while (this.#at < bytes.length && bytes[this.#at] !== 10 && bytes[this.#at] !== 13) this.#at++;
      } else if (CLASSES[byte] !== SPACE) return;
    }
  }

  #skipLiteral(): void {
    const bytes = this.#bytes;
    let depth = 0;
    for (; this.#at < bytes.length; this.#at++) {
      const byte = bytes[this.#at];
      if (byte === 0x5c) this.#at++;
      else if (byte === 0x28) depth++;
      else if (byte === 0x29 && --depth === 0) break;
    }
    this.#at = Math.min(bytes.length, this.#at + 1);
  }

  /** An array or dictionary with everything nested in it; one that is not closed ends before an operator. */
  #skipNested(closing: ']' | '>>'): void {
    const open = [closing];
    this.#at += closing.length;
    while (open.length > 0) {
      this.#skipSpace();
      const bytes = this.#bytes;
      const byte = bytes[this.#at];
      if (byte === undefined) return;
      const isDouble = (code: number) => byte === code && bytes[this.#at + 1] === code;
      if (byte === 0x5b || isDouble(0x3c)) {
        open.push(byte === 0x5b ? ']' : '>>');
        this.#at += byte === 0x5b ? 1 : 2;
      } else if (byte === 0x5d || isDouble(0x3e)) {
        open.pop();
        this.#at += byte === 0x5d ? 1 : 2;
      } else {
        const before = this.#at;
        if (this.#operand() !== undefined) continue;
        const isStray = this.#at === before;
        this.#at = isStray ? before + 1 : before;
        if (!isStray) return;
      }
    }
  }

  /** Entries, `ID`, one byte of white space, data, `EI` between white space (8.9.7). */
  #readInlineImage(): void {
    const bytes = this.#bytes;
    this.operands.length = 0;
    for (;;) {
      this.#skipSpace();
      const start = this.#at;
      if (start >= bytes.length) return;
      const operand = this.#operand();
      if (operand !== undefined) {
        this.operandsHash = hashedBytes(this.operandsHash, bytes, start, this.#at);
        this.operands.push(operand);
      } else if (this.#at === start) this.#at++;
      else if (this.#text(start, this.#at) === 'ID') break;
    }
    const start = this.#at + 1;
    let at = start;
    for (; at < bytes.length; at++) {
      const isEnd =
        bytes[at] === 0x45 &&
        bytes[at + 1] === 0x49 &&
        CLASSES[bytes[at - 1]!] === SPACE &&
        (at + 2 >= bytes.length || CLASSES[bytes[at + 2]!] !== 0) &&
        isText(bytes, at + 2);
      if (isEnd) break;
    }
    this.data = bytes.subarray(start, Math.min(at, bytes.length));
    this.#at = Math.min(bytes.length, at + 2);
  }

  #regularEnd(from: number): number {
    let end = from;
    while (end < this.#bytes.length && CLASSES[this.#bytes[end]!] === 0) end++;
    return end;
  }

  #text(start: number, end: number): string {
    let text = '';
    for (let at = start; at < end; at++) text += LATIN1[this.#bytes[at]!];
    return text;
  }
}

/** How many bytes are checked after a possible `EI`: inside image data they do not look like text. */
const LOOKED_AHEAD = 12;

function isText(bytes: Uint8Array, from: number): boolean {
  for (let at = from; at < Math.min(bytes.length, from + LOOKED_AHEAD); at++) {
    const byte = bytes[at]!;
    if (byte > 126 || (byte < 32 && CLASSES[byte] !== SPACE)) return false;
  }
  return true;
}

const isDigit = (byte: number): boolean => byte >= 0x30 && byte <= 0x39;
const isNumeric = (byte: number): boolean => isDigit(byte) || byte === 0x2e || byte === 0x2d || byte === 0x2b;

const nameText = (written: string): string =>
  written.includes('#')
    ? written.replace(/#([0-9a-fA-F]{2})/g, (_, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)))
    : written;

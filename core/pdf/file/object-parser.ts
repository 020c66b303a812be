import {
  PDFArray,
  PDFBool,
  PDFCatalog,
  type PDFContext,
  PDFDict,
  PDFHexString,
  PDFName,
  PDFNull,
  PDFNumber,
  type PDFObject,
  PDFPageLeaf,
  PDFPageTree,
  PDFRef,
  PDFString,
} from 'pdf-lib';
import { problemTooDeep } from './pdf-problem.ts';
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
} from './syntax.ts';

/** More than any drawing program writes, and well within the call stack. */
const MAX_NESTING = 256;

/** Thrown when an object continues past the bytes held; the reader then fetches a larger window. */
export class NeedMoreBytes extends Error {}

/** Decrypts the bytes of one string; encrypted files have one such function per object. */
export type StringDecryption = (bytes: Uint8Array) => Uint8Array;

/**
 * Reads PDF objects from a window of bytes, as objects of pdf-lib. It accepts errors that readers commonly accept:
 * unclosed arrays and dictionaries, stray keywords, missing values (they become null).
 */
export class ObjectParser {
  readonly bytes: Uint8Array;
  readonly context: PDFContext;
  /** Where the search for the next token begins. */
  at: number;
  /** Whether the window reaches the end of the file; otherwise the parser asks for more bytes when it runs out. */
  readonly #isWhole: boolean;
  readonly #decryption: StringDecryption | undefined;
  #depth = 0;

  constructor(
    bytes: Uint8Array,
    context: PDFContext,
    options: { at?: number; isWhole?: boolean; decryption?: StringDecryption | undefined } = {},
  ) {
    this.bytes = bytes;
    this.context = context;
    this.at = options.at ?? 0;
    this.#isWhole = options.isWhole ?? true;
    this.#decryption = options.decryption;
  }

  /** Moves to the next byte that is neither white space nor comment; -1 at the end of a whole window. */
  peek(): number {
    const { bytes } = this;
    for (; this.at < bytes.length; this.at++) {
      const byte = bytes[this.at]!;
      if (byte === 0x25) {
        while (this.at < bytes.length && bytes[this.at] !== 0x0a && bytes[this.at] !== 0x0d) this.at++;
      } else if (!isWhite(byte)) {
        return byte;
      }
    }
    if (!this.#isWhole) throw new NeedMoreBytes();
    return -1;
  }

  /** The keyword at the next token, without consuming it; '' where there is none. */
  peekKeyword(): string {
    if (this.peek() < 0) return '';
    const end = this.#regularEnd(this.at);
    return latin1(this.bytes, this.at, Math.min(end, this.at + 32));
  }

  /** Consumes `keyword` if it comes next. */
  takeKeyword(keyword: string): boolean {
    if (this.peekKeyword() !== keyword) return false;
    this.at += keyword.length;
    return true;
  }

  /** Consumes a non-negative whole number if one comes next. */
  takeWhole(): number | undefined {
    if (!isDigit(this.peek())) return undefined;
    const end = this.#regularEnd(this.at);
    for (let i = this.at; i < end; i++) if (!isDigit(this.bytes[i]!)) return undefined;
    const value = numberFromBytes(this.bytes, this.at, end);
    this.at = end;
    return value;
  }

  /** The next object, or undefined where no object can begin (the keyword there is not consumed). */
  object(): PDFObject | undefined {
    const byte = this.peek();
    switch (byte) {
      case 0x2f:
        return this.#name();
      case 0x28:
        return this.#literalString();
      case 0x5b:
        return this.#nested(() => this.#array());
      case 0x3c:
        if (this.at + 1 >= this.bytes.length && !this.#isWhole) throw new NeedMoreBytes();
        return this.bytes[this.at + 1] === 0x3c ? this.#nested(() => this.#dict()) : this.#hexString();
    }
    if (byte < 0) return undefined;
    if (isNumeric(byte)) return this.#numberOrRef();
    switch (this.peekKeyword()) {
      case 'true':
        this.at += 4;
        return PDFBool.True;
      case 'false':
        this.at += 5;
        return PDFBool.False;
      case 'null':
        this.at += 4;
        return PDFNull;
    }
    return undefined;
  }

  #nested<T>(read: () => T): T {
    if (++this.#depth > MAX_NESTING) {
      throw problemTooDeep(`The PDF nests arrays or dictionaries more than ${MAX_NESTING} deep.`);
    }
    const value = read();
    this.#depth--;
    return value;
  }

  #regularEnd(start: number): number {
    let end = start;
    while (end < this.bytes.length && isRegular(this.bytes[end]!)) end++;
    if (end === this.bytes.length && !this.#isWhole) throw new NeedMoreBytes();
    return end;
  }

  #name(): PDFName {
    const start = this.at + 1;
    const end = this.#regularEnd(start);
    this.at = end;
    // PDFName.of undoes only escapes in capital letters.
    return PDFName.of(
      latin1(this.bytes, start, end).replace(/#[0-9a-fA-F]{2}/g, (code) => code.toUpperCase()),
    );
  }

  #numberOrRef(): PDFObject {
    const start = this.at;
    const first = this.takeWhole();
    if (first === undefined) {
      const end = this.#regularEnd(start);
      this.at = end;
      return PDFNumber.of(numberFromBytes(this.bytes, start, end));
    }
    const afterFirst = this.at;
    const second = this.takeWhole();
    if (second !== undefined && this.peek() === 0x52) {
      const next = this.bytes[this.at + 1];
      if (next === undefined && !this.#isWhole) throw new NeedMoreBytes();
      if (next === undefined || !isRegular(next)) {
        this.at++;
        return PDFRef.of(first, second);
      }
    }
    this.at = afterFirst;
    return PDFNumber.of(first);
  }

  #literalString(): PDFObject {
    const start = this.at + 1;
    let depth = 1;
    let end = start;
    for (; end < this.bytes.length; end++) {
      const byte = this.bytes[end];
      if (byte === 0x5c) end++;
      else if (byte === 0x28) depth++;
      else if (byte === 0x29 && --depth === 0) break;
    }
    if (end >= this.bytes.length && !this.#isWhole) throw new NeedMoreBytes();
    end = Math.min(end, this.bytes.length);
    this.at = Math.min(end + 1, this.bytes.length);
    if (this.#decryption === undefined) return PDFString.of(latin1(this.bytes, start, end));
    return PDFHexString.fromBytes(this.#decryption(literalStringBytes(this.bytes, start, end)));
  }

  #hexString(): PDFObject {
    const start = this.at + 1;
    const found = this.bytes.indexOf(0x3e, start);
    if (found < 0 && !this.#isWhole) throw new NeedMoreBytes();
    const end = found < 0 ? this.bytes.length : found;
    this.at = Math.min(end + 1, this.bytes.length);
    const bytes = hexStringBytes(this.bytes, start, end);
    return PDFHexString.fromBytes(this.#decryption === undefined ? bytes : this.#decryption(bytes));
  }

  #array(): PDFArray {
    this.at++;
    const array = PDFArray.withContext(this.context);
    for (;;) {
      const byte = this.peek();
      if (byte === 0x5d) {
        this.at++;
        return array;
      }
      const item = this.object();
      if (item !== undefined) array.push(item);
      else if (!this.#skipStray()) return array;
    }
  }

  #dict(): PDFDict {
    this.at += 2;
    const entries = new Map<PDFName, PDFObject>();
    for (;;) {
      const byte = this.peek();
      if (byte === 0x3e) {
        this.at += this.bytes[this.at + 1] === 0x3e ? 2 : 1;
        break;
      }
      if (byte !== 0x2f) {
        // A value without a key, or a keyword: skip it, unless the object clearly ends here.
        if (this.object() === undefined && !this.#skipStray()) break;
        continue;
      }
      const key = this.#name();
      const next = this.peek();
      entries.set(
        key,
        next === 0x3e && this.bytes[this.at + 1] === 0x3e ? PDFNull : (this.object() ?? PDFNull),
      );
    }
    return dictFromEntries(entries, this.context);
  }

  /**
   * Skips one token that is not an object. False at anything that ends an object: `endobj`, `stream`, the end of the
   * bytes.
   */
  #skipStray(): boolean {
    const byte = this.peek();
    if (byte < 0) return false;
    if (isDelimiter(byte)) {
      this.at++;
      return true;
    }
    const keyword = this.peekKeyword();
    if (keyword === 'endobj' || keyword === 'stream' || keyword === 'endstream' || keyword === 'xref')
      return false;
    this.at = this.#regularEnd(this.at);
    return true;
  }
}

/** pdf-lib has its own classes for the three dictionaries of the page tree. */
function dictFromEntries(entries: Map<PDFName, PDFObject>, context: PDFContext): PDFDict {
  switch (entries.get(PDFName.Type)) {
    case PDFName.of('Catalog'):
      return PDFCatalog.fromMapWithContext(entries, context);
    case PDFName.of('Pages'):
      return PDFPageTree.fromMapWithContext(entries, context);
    case PDFName.Page:
      return PDFPageLeaf.fromMapWithContext(entries, context);
  }
  return PDFDict.fromMapWithContext(entries, context);
}

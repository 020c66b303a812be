import { isDelimiter, isNumeric, isRegular, isWhite } from '../file/syntax.ts';
import { MARK, MARK_END, MARK_WITH, RESTORE, SAVE, TEXT, TEXT_END } from './content-balance.ts';
import { operatorCode } from './operation-reader.ts';

/** What a byte begins. Numbers, white space and brackets are skipped byte by byte. */
const NOTHING = 0;
const WORD = 1;
const NAME = 2;
const STRING = 3;
const HEX = 4;
const COMMENT = 5;
const BEGINS = new Uint8Array(256);
for (let byte = 0; byte < 256; byte += 1) {
  if (!isWhite(byte) && !isNumeric(byte) && !isDelimiter(byte)) BEGINS[byte] = WORD;
}
const [SLASH, OPEN, CLOSE, LESS, GREATER, PERCENT, BACKSLASH] = [0x2f, 0x28, 0x29, 0x3c, 0x3e, 0x25, 0x5c];
BEGINS[SLASH] = NAME;
BEGINS[OPEN] = STRING;
BEGINS[LESS] = HEX;
BEGINS[PERCENT] = COMMENT;

const REGULAR = Uint8Array.from({ length: 256 }, (_, byte) => (isRegular(byte) ? 1 : 0));
const LINE_FEED = 0x0a;
const RETURN = 0x0d;
/** A piece without any of these has no operator that matters, and nothing that could hide one. */
const MATTERING = [...'qQBE(%</'].map((sign) => sign.charCodeAt(0));
/** Letters of the longest operator that the scan looks for. */
const MAX_LETTERS = 3;
const BEGIN_IMAGE = operatorCode('BI');

/**
 * Whether saves and restores, marked content and text objects pair. The result is that of `contentBalanced`, but found
 * from the letters alone, without reading operands: content of any length in any pieces, in a tenth of the time.
 */
export class BalanceScan {
  #length = 0;
  #open: number = NOTHING;
  /** Open brackets of the current string. */
  #depth = 0;
  #isEscaped = false;
  #letters = 0;
  #code = 0;
  #saves = 0;
  #marks = 0;
  #isInText = false;
  #hasSurplus = false;
  #hasInlineImage = false;

  /** Bytes seen so far. */
  get length(): number {
    return this.#length;
  }

  push(bytes: Uint8Array): void {
    this.#length += bytes.length;
    const begins = BEGINS;
    const regular = REGULAR;
    const end = bytes.length;
    let at = this.#open === NOTHING ? 0 : this.#through(bytes, 0);
    // Most of a drawing is paths, and a host's search for single bytes may be faster than stepping over them.
    if (this.#open === NOTHING && !MATTERING.some((byte) => bytes.includes(byte))) {
      const first = at;
      for (at = end; at > first && regular[bytes[at - 1]!] === 1; ) at -= 1;
    }
    for (;;) {
      while (at < end && begins[bytes[at]!] === NOTHING) at += 1;
      if (at >= end) return;
      const open = begins[bytes[at]!]!;
      if (open === WORD && at + 1 < end && regular[bytes[at + 1]!] === 0) {
        // Most operators have one letter.
        this.#letters = 1;
        this.#code = bytes[at]!;
        if (this.#code === SAVE || this.#code === RESTORE) this.#endWord();
        at += 1;
        continue;
      }
      this.#open = open;
      this.#letters = 0;
      this.#code = 0;
      this.#depth = 1;
      at = this.#through(bytes, open === WORD ? at : at + 1);
    }
  }

  /** Undefined where data of an inline image may look like operators: the content must then be read in full. */
  end(): { readonly isUnbalanced: boolean } | undefined {
    if (this.#open === WORD) this.#endWord();
    if (this.#hasInlineImage) return undefined;
    return { isUnbalanced: this.#hasSurplus || this.#saves > 0 || this.#marks > 0 || this.#isInText };
  }

  /** Continues with the token that is open; returns where it ended. */
  #through(bytes: Uint8Array, from: number): number {
    let at = from;
    switch (this.#open) {
      case WORD:
        while (at < bytes.length && REGULAR[bytes[at]!] === 1) {
          this.#code = this.#code * 256 + bytes[at]!;
          this.#letters += 1;
          // A longer word is not an operator, and its code would overflow.
          if (this.#letters > MAX_LETTERS) this.#code = 0;
          at += 1;
        }
        if (at === bytes.length) return at;
        this.#endWord();
        break;
      case NAME:
        while (at < bytes.length && REGULAR[bytes[at]!] === 1) at += 1;
        if (at === bytes.length) return at;
        break;
      case COMMENT:
        while (at < bytes.length && bytes[at] !== LINE_FEED && bytes[at] !== RETURN) at += 1;
        if (at === bytes.length) return at;
        break;
      case HEX: {
        // Two of them begin a dictionary, whose content is scanned like any other.
        const isDict = this.#depth === 1 && at < bytes.length && bytes[at] === LESS;
        if (at === bytes.length) return at;
        this.#depth = 0;
        const end = isDict ? at : bytes.indexOf(GREATER, at);
        if (end < 0) return bytes.length;
        at = end + 1;
        break;
      }
      default:
        at = this.#throughString(bytes, at);
        if (this.#depth > 0) return at;
    }
    this.#open = NOTHING;
    return at;
  }

  #throughString(bytes: Uint8Array, from: number): number {
    for (let at = from; at < bytes.length; at += 1) {
      const byte = bytes[at];
      if (this.#isEscaped) this.#isEscaped = false;
      else if (byte === BACKSLASH) this.#isEscaped = true;
      else if (byte === OPEN) this.#depth += 1;
      else if (byte === CLOSE) {
        this.#depth -= 1;
        if (this.#depth === 0) return at + 1;
      }
    }
    return bytes.length;
  }

  #endWord(): void {
    if (this.#letters > MAX_LETTERS) return;
    switch (this.#code) {
      case SAVE:
        this.#saves += 1;
        return;
      case RESTORE:
        if (this.#saves === 0) this.#hasSurplus = true;
        else this.#saves -= 1;
        return;
      case MARK:
      case MARK_WITH:
        this.#marks += 1;
        return;
      case MARK_END:
        if (this.#marks === 0) this.#hasSurplus = true;
        else this.#marks -= 1;
        return;
      case TEXT:
        this.#isInText = true;
        return;
      case TEXT_END:
        this.#isInText = false;
        return;
      case BEGIN_IMAGE:
        this.#hasInlineImage = true;
    }
  }
}

import { itemAt, lastOf } from '../../measure/present.ts';
import { OPERAND } from './operand.ts';
import { OperationReader } from './operation-reader.ts';

/** One code of a string: its value, and how many bytes it took. */
export interface CharCode {
  readonly code: number;
  readonly bytes: number;
}

/** A range of codes of one length that maps to consecutive values. */
interface CodeRange {
  readonly bytes: number;
  readonly low: number;
  readonly high: number;
  readonly first: number;
}

/** Strings longer than this are not character codes. */
const MAX_CODE_BYTES = 4;
/** More than any font has. A map's further entries are not read, because a map can repeat itself without end. */
const MAX_CODE_SPACES = 1000;
const MAX_RANGES = 20_000;
const MAX_TEXTS_IN_RANGES = 1 << 18;

/**
 * A character map, ISO 32000-1, 9.7.5 and 9.10.3, which maps bytes to codes, and codes to CIDs or Unicode. It is read
 * from the map's own PostScript, whose tokens are those of a content stream.
 */
export class CharacterMap {
  readonly #spaces: CodeRange[] = [];
  readonly #ranges: CodeRange[] = [];
  readonly #cids = new Map<number, number>();
  readonly #texts = new Map<number, string>();
  isVertical = false;
  #textsInRanges = 0;

  /**
   * A map whose two-byte codes are the CIDs: Identity-H, Identity-V, and the best guess for a map that is not
   * available.
   */
  static identity(isVertical: boolean): CharacterMap {
    const map = new CharacterMap();
    map.#spaces.push({ bytes: 2, low: 0, high: 0xffff, first: 0 });
    map.#ranges.push({ bytes: 2, low: 0, high: 0xffff, first: 0 });
    map.isVertical = isVertical;
    return map;
  }

  static parse(bytes: Uint8Array): CharacterMap {
    const map = new CharacterMap();
    const reader = new OperationReader();
    reader.push(bytes, true);
    while (reader.next() === 'operation') map.#take(reader);
    return map;
  }

  get hasCodeSpaces(): boolean {
    return this.#spaces.length > 0;
  }

  /** Splits a string into codes by the code space ranges, or into two bytes each where there are none. */
  codes(string: Uint8Array): CharCode[] {
    const codes: CharCode[] = [];
    for (let at = 0; at < string.length; ) {
      const bytes = this.#codeLength(string, at);
      let code = 0;
      for (let i = 0; i < bytes; i++) code = code * 256 + (string[at + i] ?? 0);
      codes.push({ code, bytes });
      at += bytes;
    }
    return codes;
  }

  /** The CID of a code; 0, the missing glyph, where the map has none. */
  cid(code: number): number {
    const single = this.#cids.get(code);
    if (single !== undefined) return single;
    const range = this.#ranges.find(({ low, high }) => code >= low && code <= high);
    const cid = range === undefined ? 0 : range.first + code - range.low;
    this.#cids.set(code, cid);
    return cid;
  }

  /** The text of a code in a ToUnicode map. */
  text(code: number): string | undefined {
    return this.#texts.get(code);
  }

  #codeLength(string: Uint8Array, at: number): number {
    let code = 0;
    for (let bytes = 1; bytes <= MAX_CODE_BYTES && at + bytes <= string.length; bytes++) {
      code = code * 256 + itemAt(string, at + bytes - 1);
      for (const space of this.#spaces) {
        if (space.bytes === bytes && isInCodeSpace(code, space)) return bytes;
      }
    }
    return this.#spaces.length > 0 ? Math.min(...this.#spaces.map((space) => space.bytes)) : 2;
  }

  #take(reader: OperationReader): void {
    switch (reader.operatorText) {
      case 'endcodespacerange':
        for (let i = 0; i + 1 < reader.count && this.#spaces.length < MAX_CODE_SPACES; i += 2) {
          const bytes = reader.string(i)?.length ?? 0;
          this.#spaces.push({ bytes, low: code(reader, i), high: code(reader, i + 1), first: 0 });
        }
        return;
      case 'endcidrange':
        for (let i = 0; i + 2 < reader.count && this.#ranges.length < MAX_RANGES; i += 3) {
          const bytes = reader.string(i)?.length ?? 0;
          const first = reader.number(i + 2);
          this.#ranges.push({ bytes, low: code(reader, i), high: code(reader, i + 1), first });
        }
        return;
      case 'endcidchar':
        for (let i = 0; i + 1 < reader.count; i += 2) this.#cids.set(code(reader, i), reader.number(i + 1));
        return;
      case 'endbfchar':
        for (let i = 0; i + 1 < reader.count; i += 2)
          this.#texts.set(code(reader, i), utf16(reader.string(i + 1)));
        return;
      case 'endbfrange':
        for (let i = 0; i + 2 < reader.count; i += 3) this.#takeTextRange(reader, i);
        return;
      case 'def':
        if (reader.name(reader.count - 2) === 'WMode')
          this.isVertical = reader.number(reader.count - 1) === 1;
    }
  }

  #takeTextRange(reader: OperationReader, i: number): void {
    const low = code(reader, i);
    const high = Math.min(code(reader, i + 1), low + 0xffff);
    if (reader.kinds[i + 2] === OPERAND.array) {
      const items = new OperationReader();
      items.push(
        reader.bytes.subarray(itemAt(reader.starts, i + 2) + 1, itemAt(reader.ends, i + 2) - 1),
        true,
      );
      items.next();
      for (let n = 0; n < items.count && low + n <= high; n++)
        this.#texts.set(low + n, utf16(items.string(n)));
      return;
    }
    const first = reader.string(i + 2);
    if (first === undefined || first.length === 0) return;
    for (let n = low; n <= high && this.#textsInRanges < MAX_TEXTS_IN_RANGES; n++) {
      this.#textsInRanges++;
      // Only the last byte counts up, and a range does not pass its end.
      const bytes = first.slice();
      bytes[bytes.length - 1] = lastOf(bytes) + (n - low);
      this.#texts.set(n, utf16(bytes));
    }
  }
}

/** Each byte of a code must be in the range of the same byte, 9.7.6.2. */
function isInCodeSpace(code: number, space: CodeRange): boolean {
  for (let shift = 0; shift < space.bytes; shift++) {
    const unit = 256 ** shift;
    const byte = Math.floor(code / unit) % 256;
    if (byte < Math.floor(space.low / unit) % 256 || byte > Math.floor(space.high / unit) % 256) return false;
  }
  return true;
}

function code(reader: OperationReader, i: number): number {
  let value = 0;
  for (const byte of reader.string(i) ?? []) value = value * 256 + byte;
  return value;
}

function utf16(bytes: Uint8Array | undefined): string {
  let text = '';
  for (let i = 0; bytes !== undefined && i + 1 < bytes.length; i += 2) {
    text += String.fromCharCode(itemAt(bytes, i) * 256 + itemAt(bytes, i + 1));
  }
  return text;
}

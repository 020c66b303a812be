import { isWhite, latin1 } from '../file/syntax.ts';
import { OPERAND } from './operand.ts';

/** The operands of one operator, as `OperationReader` holds them in its bytes. */
interface Operands {
  readonly bytes: Uint8Array;
  readonly count: number;
  /** The `OPERAND` kind of each, and the range of its bytes. */
  readonly kinds: Uint8Array;
  readonly starts: Int32Array;
  readonly ends: Int32Array;
  isNumber(index: number): boolean;
  number(index: number): number;
  name(index: number): string | undefined;
}

/** How many bytes after a possible `EI` must look like text. */
const LOOKAHEAD_BYTES = 12;

const COMPONENTS: Readonly<Record<string, number>> = {
  G: 1,
  DeviceGray: 1,
  CalGray: 1,
  RGB: 3,
  DeviceRGB: 3,
  CalRGB: 3,
  CMYK: 4,
  DeviceCMYK: 4,
  I: 1,
  Indexed: 1,
};

/** The operand index of an inline image's entry, by its short or long key; -1 where it is absent. */
export function inlineEntry(reader: Operands, short: string, long: string): number {
  for (let i = 0; i + 1 < reader.count; i += 2) {
    const key = reader.name(i);
    if (key === short || key === long) return i + 1;
  }
  return -1;
}

/**
 * Where an inline image's data ends, ISO 32000-1, 8.9.7. The format does not state this for packed data: `EI` must be
 * followed by text, and usually comes before white space, but not in all files. Undefined asks for more bytes.
 */
export function inlineImageEnd(
  reader: Operands,
  dataStart: number,
  isLast: boolean,
): { dataEnd: number; after: number } | undefined {
  const { bytes } = reader;
  const stated = statedLength(reader);
  if (stated !== undefined) {
    let at = dataStart + stated;
    if (at + LOOKAHEAD_BYTES > bytes.length && !isLast) return undefined;
    while (at < bytes.length && isWhite(bytes[at]!)) at++;
    if (at + LOOKAHEAD_BYTES > bytes.length && !isLast) return undefined;
    if (isEnd(bytes, at)) return { dataEnd: dataStart + stated, after: at + 2 };
  }
  const from = textDataEnd(reader, dataStart);
  if (from < 0 && !isLast) return undefined;
  for (let at = bytes.indexOf(0x45, Math.max(from, dataStart)); at >= 0; at = bytes.indexOf(0x45, at + 1)) {
    if (at + 2 + LOOKAHEAD_BYTES > bytes.length && !isLast) return undefined;
    if (!isEnd(bytes, at) || !isTextAfter(bytes, at + 2)) continue;
    const isApart = at > dataStart && isWhite(bytes[at - 1]!);
    return { dataEnd: isApart ? at - 1 : at, after: at + 2 };
  }
  return isLast ? { dataEnd: bytes.length, after: bytes.length } : undefined;
}

/**
 * Data coded as text may contain `EI`, but it ends with `>`, so its end is searched first. Returns the start for other
 * data; -1 when `>` is not in the bytes.
 */
function textDataEnd(reader: Operands, dataStart: number): number {
  const i = inlineEntry(reader, 'F', 'Filter');
  if (i < 0) return dataStart;
  const filter = latin1(reader.bytes, reader.starts[i]!, Math.min(reader.ends[i]!, reader.starts[i]! + 32));
  return /^\[?\s*\/A/.test(filter) ? reader.bytes.indexOf(0x3e, dataStart) : dataStart;
}

const isEnd = (bytes: Uint8Array, at: number): boolean =>
  bytes[at] === 0x45 && bytes[at + 1] === 0x49 && (at + 2 >= bytes.length || isWhite(bytes[at + 2]!));

function isTextAfter(bytes: Uint8Array, from: number): boolean {
  const end = Math.min(bytes.length, from + LOOKAHEAD_BYTES);
  for (let at = from; at < end; at++) {
    const byte = bytes[at]!;
    if (byte > 0x7e || (byte < 0x20 && (byte === 0 || !isWhite(byte)))) return false;
  }
  return true;
}

/** The length that the entries state (PDF 2.0), or that follows from the size of unpacked samples. */
function statedLength(reader: Operands): number | undefined {
  const length = inlineEntry(reader, 'L', 'Length');
  if (length >= 0 && reader.isNumber(length)) return reader.number(length);
  if (inlineEntry(reader, 'F', 'Filter') >= 0) return undefined;
  const width = reader.number(inlineEntry(reader, 'W', 'Width'));
  const height = reader.number(inlineEntry(reader, 'H', 'Height'));
  const mask = inlineEntry(reader, 'IM', 'ImageMask');
  if (mask >= 0 && latin1(reader.bytes, reader.starts[mask]!, reader.ends[mask]!) === 'true') {
    return Math.ceil(width / 8) * height;
  }
  const space = inlineEntry(reader, 'CS', 'ColorSpace');
  const family =
    reader.kinds[space] === OPERAND.array
      ? /^\[\s*\/(\w+)/.exec(latin1(reader.bytes, reader.starts[space]!, reader.ends[space]!))?.[1]
      : reader.name(space);
  const components = COMPONENTS[family ?? ''];
  if (components === undefined) return undefined;
  const bits = reader.number(inlineEntry(reader, 'BPC', 'BitsPerComponent')) || 8;
  return Math.ceil((width * components * bits) / 8) * height;
}

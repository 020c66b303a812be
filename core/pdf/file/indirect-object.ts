import { type PDFContext, PDFDict, PDFName, PDFNull, type PDFObject, PDFRef } from 'pdf-lib';
import type { ByteSource } from './byte-source.ts';
import { numberOf } from './dict-values.ts';
import { NeedMoreBytes, ObjectParser, type StringDecryption } from './object-parser.ts';
import { problemTooLarge } from './pdf-problem.ts';
import { StoredStream } from './stored-stream.ts';
import { latin1 } from './syntax.ts';

const FIRST_WINDOW_BYTES = 2048;
const WINDOW_GROWTH = 8;
/** Far more than any dictionary or array that a drawing program writes; stream data does not count. */
const MAX_OBJECT_BYTES = 1 << 28;
const SCAN_BYTES = 1 << 20;

export interface IndirectObject {
  readonly ref: PDFRef;
  readonly object: PDFObject;
}

export interface ReadingObjects {
  readonly source: ByteSource;
  readonly context: PDFContext;
  /** Decrypts the strings of an object, where the file is encrypted. */
  decryptionFor?(ref: PDFRef): StringDecryption | undefined;
  /** The value of an indirect Length. */
  lengthAt(ref: PDFRef): Promise<number | undefined>;
}

/**
 * Runs `read` on a window of bytes from `offset`, and again on larger windows while it asks for more. @throws
 * PdfProblem when one object fills 256 MB.
 */
export async function readGrowing<T>(
  source: ByteSource,
  offset: number,
  read: (bytes: Uint8Array, isWhole: boolean) => T,
): Promise<T> {
  for (let length = FIRST_WINDOW_BYTES; length <= MAX_OBJECT_BYTES; length *= WINDOW_GROWTH) {
    const bytes = await source.read(offset, length);
    try {
      return read(bytes, offset + length >= source.size);
    } catch (error) {
      if (!(error instanceof NeedMoreBytes)) throw error;
    }
  }
  throw problemTooLarge(`The PDF holds an object of over 256 MB at byte ${offset}.`);
}

/** The object `N G obj …` at `offset`, or undefined where none begins there. */
export async function indirectObjectAt(
  reading: ReadingObjects,
  offset: number,
): Promise<IndirectObject | undefined> {
  const { source, context } = reading;
  if (!(offset >= 0 && offset < source.size)) return undefined;
  const found = await readGrowing(source, offset, (bytes, isWhole) => {
    const header = new ObjectParser(bytes, context, { isWhole });
    const objectNumber = header.takeWhole();
    const generation = objectNumber === undefined ? undefined : header.takeWhole();
    if (objectNumber === undefined || generation === undefined) return undefined;
    // `obj` is followed by white space, a delimiter, or (in some files) directly by a digit.
    if (!header.peekKeyword().startsWith('obj')) return undefined;
    const ref = PDFRef.of(objectNumber, generation);
    const body = (decryption: StringDecryption | undefined) => {
      const parser = new ObjectParser(bytes, context, { at: header.at + 3, isWhole, decryption });
      return { parser, object: parser.object() ?? PDFNull };
    };
    let { parser, object } = body(reading.decryptionFor?.(ref));
    // Cross-reference streams are never encrypted (7.5.8.2).
    const isXref = object instanceof PDFDict && object.get(PDFName.Type) === PDFName.of('XRef');
    if (isXref) ({ parser, object } = body(undefined));
    if (!(object instanceof PDFDict) || !parser.takeKeyword('stream')) return { ref, object };
    return { ref, object, dataAt: offset + dataStart(bytes, parser.at, isWhole) };
  });
  if (found === undefined || found.dataAt === undefined) return found;
  const dict = found.object as PDFDict;
  const length = await streamLength(reading, dict, found.dataAt);
  return { ref: found.ref, object: new StoredStream(dict, found.ref, found.dataAt, length) };
}

/**
 * Where data begins after the keyword `stream`: after one line end, and after any spaces that wrongly come before it.
 */
function dataStart(bytes: Uint8Array, afterKeyword: number, isWhole: boolean): number {
  let at = afterKeyword;
  while (bytes[at] === 0x20 && at < bytes.length) at++;
  if (at + 2 > bytes.length && !isWhole) throw new NeedMoreBytes();
  if (bytes[at] === 0x0d) return bytes[at + 1] === 0x0a ? at + 2 : at + 1;
  return bytes[at] === 0x0a ? at + 1 : afterKeyword;
}

/** The Length if `endstream` follows there; otherwise the distance to the `endstream` that a scan finds. */
async function streamLength(reading: ReadingObjects, dict: PDFDict, dataAt: number): Promise<number> {
  const { source } = reading;
  const entry = dict.get(PDFName.Length);
  const stated = entry instanceof PDFRef ? await reading.lengthAt(entry) : numberOf(entry);
  if (stated !== undefined && Number.isInteger(stated) && stated >= 0 && dataAt + stated <= source.size) {
    const after = latin1(await source.read(dataAt + stated, 24));
    if (/^[\0\t\n\f\r ]*end(?:stream|obj)/.test(after)) return stated;
  }
  const end = await scanFor(source, dataAt, ['endstream', 'endobj']);
  if (end === undefined) return source.size - dataAt;
  const before = await source.read(Math.max(dataAt, end - 2), Math.min(2, end - dataAt));
  const last = before[before.length - 1];
  if (last === 0x0a) return end - dataAt - (before.length > 1 && before[0] === 0x0d ? 2 : 1);
  return end - dataAt - (last === 0x0d ? 1 : 0);
}

/** The offset of the first of the words at or after `from`. Reads in pieces. */
export async function scanFor(
  source: ByteSource,
  from: number,
  words: readonly string[],
): Promise<number | undefined> {
  const overlap = Math.max(...words.map((word) => word.length)) - 1;
  for (let offset = from; offset < source.size; offset += SCAN_BYTES) {
    const bytes = await source.read(offset, SCAN_BYTES + overlap);
    const places = words.map((word) => wordIndex(bytes, word)).filter((at) => at >= 0);
    if (places.length > 0) return offset + Math.min(...places);
  }
  return undefined;
}

/** Index of an ASCII word in the bytes, or -1. */
export function wordIndex(bytes: Uint8Array, word: string): number {
  const first = word.charCodeAt(0);
  for (let at = bytes.indexOf(first); at >= 0; at = bytes.indexOf(first, at + 1)) {
    if (isWordAt(bytes, word, at)) return at;
  }
  return -1;
}

export function isWordAt(bytes: Uint8Array, word: string, at: number): boolean {
  for (let i = 0; i < word.length; i++) if (bytes[at + i] !== word.charCodeAt(i)) return false;
  return true;
}

/** Index of the last occurrence of an ASCII word, or -1. */
export function lastWordIndex(bytes: Uint8Array, word: string): number {
  const first = word.charCodeAt(0);
  let at = bytes.lastIndexOf(first);
  while (at >= 0 && !isWordAt(bytes, word, at)) at = at === 0 ? -1 : bytes.lastIndexOf(first, at - 1);
  return at;
}

import {
  PDFArray,
  type PDFContext,
  PDFDict,
  PDFName,
  PDFNumber,
  type PDFObject,
  PDFRawStream,
  PDFRef,
} from 'pdf-lib';
import { asciiBytes, bytesIndexOf } from './byte-search.ts';
import { ObjectParser } from './file/object-parser.ts';
import { isWhite } from './file/syntax.ts';

const END_STREAM = asciiBytes('endstream');
const SPACE = 32;
const LINE_FEED = 10;
const CARRIAGE_RETURN = 13;

/** Finds the value of an indirect `/Length`; undefined where it cannot be found. */
export type LengthLookup = (ref: PDFRef) => number | undefined;

export interface IndirectObject {
  readonly ref: PDFRef;
  readonly object: PDFObject;
  /** Offset behind the object. */
  readonly end: number;
}

/** The object that stands at `offset` without a header, as in a trailer or an object stream. Throws where there is none. */
export function directObjectAt(file: Uint8Array, context: PDFContext, offset: number): PDFObject {
  const object = new ObjectParser(file, context, { at: offset }).object();
  if (object === undefined) throw new Error(`No object stands at byte ${offset}`);
  return object;
}

/**
 * The object `n g obj …` at `offset`. Throws where there is none. The bytes of a stream are not copied: they
 * stay a view on the file.
 */
export function indirectObjectAt(
  file: Uint8Array,
  context: PDFContext,
  offset: number,
  lengthOf: LengthLookup = () => undefined,
): IndirectObject {
  const parser = new ObjectParser(file, context, { at: offset });
  const number = parser.takeWhole();
  const generation = parser.takeWhole();
  if (number === undefined || generation === undefined || !takeObjKeyword(parser)) {
    throw new Error(`No object stands at byte ${offset}`);
  }
  const ref = PDFRef.of(number, generation);
  const object = parser.object();
  if (object === undefined) throw new Error(`Object ${number} at byte ${offset} has no value`);
  if (!(object instanceof PDFDict) || !parser.takeKeyword('stream')) return { ref, object, end: parser.at };
  const start = streamStart(file, parser.at);
  const extent = streamExtent(file, start, object.get(PDFName.Length), lengthOf);
  const stream = PDFRawStream.of(object, file.subarray(start, extent.end));
  return { ref, object: stream, end: extent.after };
}

/** `obj` may touch what follows: `obj<<` is common, `obj5` occurs. */
function takeObjKeyword(parser: ObjectParser): boolean {
  if (!parser.peekKeyword().startsWith('obj')) return false;
  parser.at += 3;
  return true;
}

/** The keyword is followed by CR LF or LF; spaces before them and a lone CR are tolerated (ISO 32000-1, 7.3.8.1). */
function streamStart(file: Uint8Array, afterKeyword: number): number {
  let start = afterKeyword;
  while (file[start] === SPACE && isLineEnd(file[start + 1])) start += 1;
  if (file[start] === CARRIAGE_RETURN) start += 1;
  if (file[start] === LINE_FEED) start += 1;
  return start;
}

const isLineEnd = (byte: number | undefined): boolean => byte === LINE_FEED || byte === CARRIAGE_RETURN;

interface StreamExtent {
  readonly end: number;
  /** Behind the keyword `endstream`. */
  readonly after: number;
}

/** The stated length counts if `endstream` follows it; otherwise the keyword is searched for (7.3.8.2). */
function streamExtent(
  file: Uint8Array,
  start: number,
  stated: PDFObject | undefined,
  lengthOf: LengthLookup,
): StreamExtent {
  const length =
    stated instanceof PDFNumber ? stated.asNumber() : stated instanceof PDFRef ? lengthOf(stated) : undefined;
  if (length !== undefined && length >= 0) {
    let at = start + length;
    while (at < file.length && isWhite(file[at]!)) at += 1;
    const after = at + END_STREAM.length;
    if (bytesIndexOf(file, END_STREAM, at, after) === at) return { end: start + length, after };
  }
  const keyword = bytesIndexOf(file, END_STREAM, start);
  if (keyword < 0) return { end: file.length, after: file.length };
  let end = keyword;
  if (end > start && file[end - 1] === LINE_FEED) end -= 1;
  if (end > start && file[end - 1] === CARRIAGE_RETURN) end -= 1;
  return { end, after: keyword + END_STREAM.length };
}

/** The numbers of an array, or undefined where it is no array or holds anything else. */
export function arrayNumbers(object: unknown): number[] | undefined {
  if (!(object instanceof PDFArray)) return undefined;
  const numbers: number[] = [];
  for (let index = 0; index < object.size(); index += 1) {
    const item = object.lookup(index);
    if (!(item instanceof PDFNumber)) return undefined;
    numbers.push(item.asNumber());
  }
  return numbers;
}

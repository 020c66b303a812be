import { type PDFContext, PDFDict, PDFName, PDFRawStream, PDFRef } from 'pdf-lib';
import { asciiBytes, bytesIndexOf } from './byte-search.ts';
import { type CrossReference, type ObjectPlace, TRAILER_KEYS } from './cross-reference.ts';
import { isDigit, isWhite } from './file/syntax.ts';
import { directObjectAt, indirectObjectAt } from './object-reader.ts';

const OBJ = asciiBytes('obj');
const TRAILER = asciiBytes('trailer');
const ROOT = PDFName.of('Root');

/**
 * Rebuilds the cross-reference of a damaged file by searching for `n g obj`. Where a number occurs twice the
 * later one counts, as it does after an incremental update. The trailer is put together from every `trailer`
 * and cross-reference stream that can still be read; without any, a catalog is looked for.
 */
export function crossReferenceByRepair(file: Uint8Array, context: PDFContext): CrossReference {
  const places = new Map<number, ObjectPlace>();
  for (let at = bytesIndexOf(file, OBJ); at >= 0; at = bytesIndexOf(file, OBJ, at + 3)) {
    const header = headerBefore(file, at);
    if (!header) continue;
    // Deleting first keeps the order of the file, which decides between several catalogs.
    places.delete(header.number);
    places.set(header.number, { kind: 'offset', offset: header.offset, generation: header.generation });
  }
  const trailer = PDFDict.withContext(context);
  for (let at = bytesIndexOf(file, TRAILER); at >= 0; at = bytesIndexOf(file, TRAILER, at + 7)) {
    const found = valueOrUndefined(() => directObjectAt(file, context, at + 7));
    if (found instanceof PDFDict) trailerMerge(trailer, found);
  }
  let catalog: PDFRef | undefined;
  for (const [number, place] of places) {
    if (place.kind !== 'offset') continue;
    const object = valueOrUndefined(() => indirectObjectAt(file, context, place.offset).object);
    const dict = object instanceof PDFRawStream ? object.dict : object;
    if (!(dict instanceof PDFDict)) continue;
    const type = dict.get(PDFName.Type);
    if (type === PDFName.of('XRef')) trailerMerge(trailer, dict);
    if (type === PDFName.of('Catalog')) catalog = PDFRef.of(number, place.generation);
  }
  if (catalog && !trailer.has(ROOT)) trailer.set(ROOT, catalog);
  return { places, trailer };
}

interface ObjectHeader {
  readonly number: number;
  readonly generation: number;
  readonly offset: number;
}

/** Reads `number generation` backwards from the keyword at `keyword`. */
function headerBefore(file: Uint8Array, keyword: number): ObjectHeader | undefined {
  const generation = integerBefore(file, keyword);
  if (!generation) return undefined;
  const number = integerBefore(file, generation.offset);
  if (!number || number.end === generation.offset) return undefined;
  return { number: number.value, generation: generation.value, offset: number.offset };
}

/** The integer that ends before `before`, white space between allowed; at most ten digits (7.5.4). */
function integerBefore(
  file: Uint8Array,
  before: number,
): { value: number; offset: number; end: number } | undefined {
  let end = before;
  while (end > 0 && isWhite(file[end - 1]!)) end -= 1;
  let offset = end;
  while (offset > 0 && end - offset < 10 && isDigit(file[offset - 1]!)) offset -= 1;
  if (offset === end) return undefined;
  let value = 0;
  for (let at = offset; at < end; at += 1) value = value * 10 + file[at]! - 48;
  return { value, offset, end };
}

function trailerMerge(trailer: PDFDict, newer: PDFDict): void {
  for (const key of TRAILER_KEYS) {
    const value = newer.get(key);
    if (value) trailer.set(key, value);
  }
}

/** In a damaged file any read may fail; what cannot be read is left out. */
function valueOrUndefined<T>(read: () => T): T | undefined {
  try {
    return read();
  } catch {
    return undefined;
  }
}

import { type PDFContext, PDFDict, PDFName, PDFNumber, PDFRawStream } from 'pdf-lib';
import { asciiBytes, bytesIndexOf, bytesLastIndexOf } from './byte-search.ts';
import { isDigit, isWhite } from './file/syntax.ts';
import { arrayNumbers, directObjectAt, indirectObjectAt } from './object-reader.ts';
import { streamData } from './stream-data.ts';

/** Where an object stands: at an offset of the file, or inside an object stream. */
export type ObjectPlace =
  | { readonly kind: 'offset'; readonly offset: number; readonly generation: number }
  | { readonly kind: 'object-stream'; readonly stream: number }
  | { readonly kind: 'free' };

/** The cross-reference of a whole file: its sections from newest to oldest, merged (ISO 32000-1, 7.5.4–7.5.8). */
export interface CrossReference {
  /** By object number. */
  readonly places: Map<number, ObjectPlace>;
  /** The newest value of each trailer entry. */
  readonly trailer: PDFDict;
}

/** Trailer entries that describe the document; the others describe one section. */
export const TRAILER_KEYS = ['Root', 'Info', 'ID', 'Encrypt'].map((key) => PDFName.of(key));
/** More objects than this are a damaged table, not a document (Annex C of ISO 32000-1 speaks of 8,388,607). */
const MAX_OBJECTS = 8_388_607;

/** Reads the cross-reference that the file itself names. Throws where it is damaged; then the file needs repair. */
export function crossReferenceFromFile(file: Uint8Array, context: PDFContext): CrossReference {
  const found: CrossReference = { places: new Map(), trailer: PDFDict.withContext(context) };
  const waiting = [startOffset(file)];
  const seen = new Set<number>();
  while (waiting.length > 0) {
    const offset = waiting.shift()!;
    if (seen.has(offset)) continue;
    seen.add(offset);
    const section = sectionAt(file, context, offset);
    for (const [number, place] of section.places) {
      if (!found.places.has(number)) found.places.set(number, place);
    }
    for (const key of TRAILER_KEYS) {
      const value = section.trailer.get(key);
      if (value && !found.trailer.has(key)) found.trailer.set(key, value);
    }
    // A hybrid file keeps objects for newer readers in a stream beside its table; it goes before older sections.
    for (const key of ['XRefStm', 'Prev']) {
      const next = section.trailer.get(PDFName.of(key));
      if (next instanceof PDFNumber) waiting.push(next.asNumber());
    }
  }
  return found;
}

function startOffset(file: Uint8Array): number {
  const keyword = bytesLastIndexOf(file, asciiBytes('startxref'));
  if (keyword < 0) throw new Error('The file has no startxref');
  return new IntegerCursor(file, keyword + 9).next();
}

function sectionAt(file: Uint8Array, context: PDFContext, offset: number): CrossReference {
  let at = offset;
  while (at < file.length && isWhite(file[at]!)) at += 1;
  const keyword = asciiBytes('xref');
  const isTable = bytesIndexOf(file, keyword, at, at + keyword.length) === at;
  return isTable ? tableAt(file, context, at + keyword.length) : streamAt(file, context, at);
}

/** A table: subsections of `first count`, then per object offset, generation and `n` or `f` (7.5.4). */
function tableAt(file: Uint8Array, context: PDFContext, start: number): CrossReference {
  const places = new Map<number, ObjectPlace>();
  const cursor = new IntegerCursor(file, start);
  while (cursor.isAtDigit()) {
    const first = cursor.next();
    const count = cursor.next();
    if (first + count > MAX_OBJECTS) throw new Error('The cross-reference table is damaged');
    for (let index = 0; index < count && cursor.isAtDigit(); index += 1) {
      const offset = cursor.next();
      const generation = cursor.next();
      const kind = cursor.letter();
      if (kind === 'n') places.set(first + index, { kind: 'offset', offset, generation });
      else if (kind === 'f') places.set(first + index, { kind: 'free' });
      else throw new Error('The cross-reference table is damaged');
    }
  }
  const trailerAt = bytesIndexOf(file, asciiBytes('trailer'), cursor.at);
  if (trailerAt < 0) throw new Error('The cross-reference table has no trailer');
  const trailer = directObjectAt(file, context, trailerAt + 7);
  if (!(trailer instanceof PDFDict)) throw new Error('The trailer is damaged');
  return { places, trailer };
}

/** A stream: rows of three big-endian numbers whose widths stand in `W` (7.5.8). */
function streamAt(file: Uint8Array, context: PDFContext, offset: number): CrossReference {
  const { object } = indirectObjectAt(file, context, offset);
  if (!(object instanceof PDFRawStream)) throw new Error('The cross-reference stream is damaged');
  const widths = arrayNumbers(object.dict.lookup(PDFName.of('W')));
  if (widths?.length !== 3 || widths.some((width) => width < 0 || width > 8)) {
    throw new Error('The cross-reference stream is damaged');
  }
  const [typeWidth, secondWidth, thirdWidth] = widths as [number, number, number];
  const data = streamData(object);
  const rowBytes = typeWidth + secondWidth + thirdWidth;
  const rows = rowBytes > 0 ? Math.floor(data.length / rowBytes) : 0;
  const numbers = objectNumbers(object.dict, rows);
  const places = new Map<number, ObjectPlace>();
  numbers.forEach((number, row) => {
    const at = row * rowBytes;
    const type = typeWidth === 0 ? 1 : bigEndian(data, at, typeWidth);
    const second = bigEndian(data, at + typeWidth, secondWidth);
    const third = bigEndian(data, at + typeWidth + secondWidth, thirdWidth);
    if (type === 0) places.set(number, { kind: 'free' });
    else if (type === 1) places.set(number, { kind: 'offset', offset: second, generation: third });
    else if (type === 2) places.set(number, { kind: 'object-stream', stream: second });
  });
  return { places, trailer: object.dict };
}

function objectNumbers(dict: PDFDict, rows: number): number[] {
  const index = arrayNumbers(dict.lookup(PDFName.of('Index'))) ?? [0, rows];
  const numbers: number[] = [];
  for (let pair = 0; pair + 1 < index.length; pair += 2) {
    const [first, count] = [index[pair]!, index[pair + 1]!];
    for (let step = 0; step < count && numbers.length < rows; step += 1) numbers.push(first + step);
  }
  return numbers;
}

function bigEndian(data: Uint8Array, at: number, width: number): number {
  let value = 0;
  for (let index = 0; index < width; index += 1) value = value * 256 + (data[at + index] ?? 0);
  return value;
}

/** Steps through the integers and single letters of a cross-reference table. */
class IntegerCursor {
  private readonly file: Uint8Array;
  at: number;

  constructor(file: Uint8Array, at: number) {
    this.file = file;
    this.at = at;
  }

  isAtDigit(): boolean {
    this.skipWhite();
    return this.at < this.file.length && isDigit(this.file[this.at]!);
  }

  next(): number {
    if (!this.isAtDigit()) throw new Error(`No number stands at byte ${this.at}`);
    let value = 0;
    while (this.at < this.file.length && isDigit(this.file[this.at]!)) {
      value = value * 10 + this.file[this.at]! - 48;
      this.at += 1;
    }
    return value;
  }

  letter(): string {
    this.skipWhite();
    const letter = String.fromCharCode(this.file[this.at] ?? 0);
    this.at += 1;
    return letter;
  }

  private skipWhite(): void {
    while (this.at < this.file.length && isWhite(this.file[this.at]!)) this.at += 1;
  }
}

import { PDFArray, PDFDict, PDFName, type PDFObject, PDFRef } from 'pdf-lib';
import type { PdfCodecs } from './codecs.ts';
import { numberOf } from './dict-values.ts';
import { filtersUndone, streamFilters } from './filters.ts';
import {
  indirectObjectAt,
  isWordAt,
  lastWordIndex,
  type ReadingObjects,
  readGrowing,
} from './indirect-object.ts';
import { ObjectParser } from './object-parser.ts';
import { StoredStream } from './stored-stream.ts';
import { isDigit, isWhite, numberFromBytes } from './syntax.ts';
import { MAX_OBJECT_NUMBER, type XrefEntry, XrefTable } from './xref-table.ts';

/** All cross-reference sections combined. */
export interface Xref {
  readonly table: XrefTable;
  /** The newest trailer, plus entries that only older ones have. */
  readonly trailer: PDFDict;
}

/** No file has this many updates; a longer chain is a loop. */
const MAX_SECTIONS = 4096;
const TAIL_BYTES = 2048;
const MAX_XREF_BYTES = 1 << 28;

/**
 * Follows the chain of sections from the last `startxref`: tables, streams, or both at once (XRefStm). Undefined where
 * the chain is broken; the file is then read by scanning.
 */
export async function readXref(
  reading: ReadingObjects,
  codecs: PdfCodecs,
  headerAt: number,
): Promise<Xref | undefined> {
  const start = await startXref(reading);
  if (start === undefined) return undefined;
  // Offsets count from the header, but writers that put bytes before it do not all count that way.
  const shift = (await isSectionAt(reading, start + headerAt)) ? headerAt : 0;
  const table = new XrefTable();
  let trailer: PDFDict | undefined;
  const seen = new Set<number>();
  const queue = [start];
  while (queue.length > 0) {
    const offset = queue.shift()! + shift;
    if (seen.has(offset)) continue;
    seen.add(offset);
    if (seen.size > MAX_SECTIONS) return undefined;
    const section = await sectionAt(reading, codecs, offset, shift, table);
    if (section === undefined) return undefined;
    trailer = trailer === undefined ? section : trailerWith(trailer, section);
    const hybrid = numberOf(section.get(PDFName.of('XRefStm')));
    const previous = numberOf(section.get(PDFName.of('Prev')));
    if (hybrid !== undefined) queue.push(hybrid);
    if (previous !== undefined) queue.push(previous);
  }
  return trailer?.has(PDFName.of('Root')) ? { table, trailer } : undefined;
}

/** Adds what a trailer lacks from an older one. */
export function trailerWith(trailer: PDFDict, older: PDFDict): PDFDict {
  for (const key of ['Root', 'Encrypt', 'Info', 'ID']) {
    const name = PDFName.of(key);
    const value = older.get(name);
    if (!trailer.has(name) && value !== undefined) trailer.set(name, value);
  }
  return trailer;
}

async function startXref({ source, context }: ReadingObjects): Promise<number | undefined> {
  // Some files have other bytes after %%EOF, so a second, longer search follows the first.
  for (const length of [TAIL_BYTES, 64 * TAIL_BYTES]) {
    const offset = Math.max(0, source.size - length);
    const bytes = await source.read(offset, length);
    const at = lastWordIndex(bytes, 'startxref');
    if (at >= 0) return new ObjectParser(bytes, context, { at: at + 9 }).takeWhole();
  }
  return undefined;
}

async function isSectionAt({ source, context }: ReadingObjects, offset: number): Promise<boolean> {
  const bytes = await source.read(offset, 64);
  const parser = new ObjectParser(bytes, context);
  if (parser.peekKeyword() === 'xref') return true;
  return (
    parser.takeWhole() !== undefined &&
    parser.takeWhole() !== undefined &&
    parser.peekKeyword().startsWith('obj')
  );
}

async function sectionAt(
  reading: ReadingObjects,
  codecs: PdfCodecs,
  offset: number,
  shift: number,
  table: XrefTable,
): Promise<PDFDict | undefined> {
  const head = await reading.source.read(offset, 64);
  const parser = new ObjectParser(head, reading.context);
  if (parser.takeKeyword('xref')) return tableSection(reading, offset + parser.at, shift, table);
  const found = await indirectObjectAt(reading, offset);
  return found?.object instanceof StoredStream
    ? streamSection(reading, codecs, found.object, shift, table)
    : undefined;
}

/** A classic table: subsections `first count` with one line per object, then the trailer. */
async function tableSection(
  reading: ReadingObjects,
  offset: number,
  shift: number,
  table: XrefTable,
): Promise<PDFDict | undefined> {
  const { source, context } = reading;
  for (let at = offset; ; ) {
    const head = new ObjectParser(await source.read(at, 256), context);
    if (head.peekKeyword().startsWith('trailer')) {
      const trailerAt = at + head.at + 'trailer'.length;
      return readGrowing(source, trailerAt, (bytes, isWhole) => {
        const trailer = new ObjectParser(bytes, context, { isWhole }).object();
        return trailer instanceof PDFDict ? trailer : undefined;
      });
    }
    const first = head.takeWhole();
    const count = first === undefined ? undefined : head.takeWhole();
    if (first === undefined || count === undefined) return undefined;
    const lines = await source.read(at + head.at, Math.min(count * 21 + 64, MAX_XREF_BYTES));
    const end = tableLines(lines, first, count, shift, table);
    if (end === undefined) return undefined;
    at += head.at + end;
  }
}

/**
 * Lines may have 19, 20 or 21 bytes, so this reads tokens. Returns the index after the last line; undefined if a line
 * is malformed.
 */
function tableLines(
  bytes: Uint8Array,
  first: number,
  count: number,
  shift: number,
  table: XrefTable,
): number | undefined {
  let at = 0;
  const digits = (): number => {
    while (at < bytes.length && isWhite(bytes[at]!)) at++;
    const start = at;
    while (at < bytes.length && isDigit(bytes[at]!)) at++;
    return at === start ? -1 : numberFromBytes(bytes, start, at);
  };
  for (let i = 0; i < count; i++) {
    const lineAt = at;
    const offset = digits();
    // A subsection with fewer lines than it states is followed by the trailer.
    if (offset < 0) return isWordAt(bytes, 'trailer', at) ? lineAt : undefined;
    const generation = digits();
    while (at < bytes.length && isWhite(bytes[at]!)) at++;
    const kind = bytes[at++];
    if (generation < 0 || (kind !== 0x6e && kind !== 0x66)) return undefined;
    // An object at offset 0 would be inside the header, so such entries mean free.
    const entry: XrefEntry =
      kind === 0x6e && offset > 0 ? { kind: 'stored', offset: offset + shift, generation } : { kind: 'free' };
    table.set(first + i, entry, true);
  }
  return at;
}

/** A cross-reference stream, ISO 32000-1, 7.5.8: fixed-width fields, big-endian. */
async function streamSection(
  reading: ReadingObjects,
  codecs: PdfCodecs,
  stream: StoredStream,
  shift: number,
  table: XrefTable,
): Promise<PDFDict | undefined> {
  const { dict } = stream;
  const widths = wholeNumbers(dict.get(PDFName.of('W')));
  if (widths === undefined || widths.length < 3 || widths.some((width) => width > 8)) return undefined;
  const direct = async (object: PDFObject | undefined) => (object instanceof PDFRef ? undefined : object);
  const raw = await reading.source.read(stream.offset, Math.min(stream.length, MAX_XREF_BYTES));
  const filters = await streamFilters(dict, direct);
  const { bytes } = await filtersUndone(raw, filters, codecs, direct, MAX_XREF_BYTES);
  const size = numberOf(dict.get(PDFName.of('Size'))) ?? 0;
  const index = wholeNumbers(dict.get(PDFName.of('Index'))) ?? [0, size];
  const [kindWidth, secondWidth, thirdWidth] = widths as [number, number, number];
  let at = 0;
  const field = (width: number, absent: number): number => {
    if (width === 0) return absent;
    let value = 0;
    for (let i = 0; i < width; i++) value = value * 256 + bytes[at++]!;
    return value;
  };
  const recordBytes = kindWidth + secondWidth + thirdWidth;
  if (recordBytes === 0) return undefined;
  for (let i = 0; i + 1 < index.length; i += 2) {
    const first = index[i]!;
    const last = Math.min(first + index[i + 1]!, MAX_OBJECT_NUMBER + 1);
    for (let number = first; number < last && at + recordBytes <= bytes.length; number++) {
      const kind = field(kindWidth, 1);
      const second = field(secondWidth, 0);
      const third = field(thirdWidth, 0);
      if (kind === 1) table.set(number, { kind: 'stored', offset: second + shift, generation: third }, true);
      else if (kind === 2) table.set(number, { kind: 'packed', container: second, index: third }, true);
      else if (kind === 0) table.set(number, { kind: 'free' }, true);
    }
  }
  return dict;
}

function wholeNumbers(object: PDFObject | undefined): number[] | undefined {
  if (!(object instanceof PDFArray)) return undefined;
  const numbers = object.asArray().map((item) => numberOf(item) ?? -1);
  return numbers.every((n) => Number.isInteger(n) && n >= 0) ? numbers : undefined;
}

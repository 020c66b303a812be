import { PDFDict, PDFName, PDFRef } from 'pdf-lib';
import { firstOf, itemAt } from '../../measure/present.ts';
import { nameOf } from './dict-values.ts';
import { indirectObjectAt, isWordAt, type ReadingObjects, readGrowing } from './indirect-object.ts';
import { ObjectParser } from './object-parser.ts';
import { StoredStream } from './stored-stream.ts';
import { isDigit, isRegular, isWhite, latin1, numberFromBytes } from './syntax.ts';
import { trailerWith, type Xref } from './xref-read.ts';
import { MAX_OBJECT_NUMBER, XrefTable } from './xref-table.ts';

const CHUNK_BYTES = 1 << 20;
/** The longest `NNNNNNNN GGGGG obj` that is searched for across two chunks, plus the start of what follows it. */
const OVERLAP_BYTES = 1024;
/** A Type is searched for within this distance after `obj`. */
const TYPE_BYTES = 512;

export interface RepairedXref extends Xref {
  /** Object streams in file order; their contents are not in the table yet. */
  readonly containers: readonly { readonly ref: PDFRef; readonly offset: number }[];
}

/**
 * Reads the whole file once, in pieces, and notes every `N G obj`. If several objects have one number, the last counts,
 * as after an update. The trailer comes from any `trailer`, any cross-reference stream, or the catalog itself.
 * Undefined when the file has no catalog.
 */
export async function repairXref(reading: ReadingObjects): Promise<RepairedXref | undefined> {
  const { source, context } = reading;
  const table = new XrefTable();
  const containers = new Map<number, { ref: PDFRef; offset: number }>();
  const trailers: number[] = [];
  const xrefStreams: number[] = [];
  let catalog: PDFRef | undefined;

  for (let base = 0; base < source.size; base += CHUNK_BYTES) {
    const from = Math.max(0, base - OVERLAP_BYTES);
    const bytes = await source.read(from, base - from + CHUNK_BYTES + OVERLAP_BYTES);
    const end = Math.min(bytes.length, base - from + CHUNK_BYTES);
    for (let at = bytes.indexOf(0x6f, base - from); at >= 0 && at < end; at = bytes.indexOf(0x6f, at + 1)) {
      if (bytes[at + 1] !== 0x62 || bytes[at + 2] !== 0x6a) continue;
      const header = headerBefore(bytes, at);
      if (header === undefined || header.objectNumber > MAX_OBJECT_NUMBER) continue;
      const { objectNumber, generation } = header;
      const offset = from + header.start;
      const ref = PDFRef.of(objectNumber, generation);
      table.set(objectNumber, { kind: 'stored', offset, generation }, false);
      containers.delete(objectNumber);
      const type = typeAfter(bytes, at + 3);
      if (type === 'ObjStm') containers.set(objectNumber, { ref, offset });
      else if (type === 'XRef') xrefStreams.push(offset);
      else if (type === 'Catalog') catalog = ref;
    }
    for (let at = bytes.indexOf(0x74, base - from); at >= 0 && at < end; at = bytes.indexOf(0x74, at + 1)) {
      if (isWordAt(bytes, 'trailer', at)) trailers.push(from + at + 'trailer'.length);
    }
  }

  let trailer: PDFDict | undefined;
  const add = (found: PDFDict | undefined): void => {
    if (found === undefined || !(found.has(PDFName.of('Root')) || found.has(PDFName.of('Encrypt')))) return;
    trailer = trailer === undefined ? found : trailerWith(trailer, found);
  };
  for (const offset of trailers.reverse()) add(await trailerAt(reading, offset));
  for (const offset of xrefStreams.reverse()) {
    const found = await indirectObjectAt(reading, offset);
    if (found?.object instanceof StoredStream) add(found.object.dict);
  }
  trailer ??= PDFDict.withContext(context);
  if (!trailer.has(PDFName.of('Root')) && catalog !== undefined) trailer.set(PDFName.of('Root'), catalog);
  if (!trailer.has(PDFName.of('Root')) && containers.size === 0) return undefined;
  return { table, trailer, containers: [...containers.values()] };
}

function headerBefore(
  bytes: Uint8Array,
  objAt: number,
): { start: number; objectNumber: number; generation: number } | undefined {
  const generation = numberBefore(bytes, objAt);
  const number = generation === undefined ? undefined : numberBefore(bytes, generation.start);
  if (generation === undefined || number === undefined) return undefined;
  return { start: number.start, objectNumber: number.value, generation: generation.value };
}

/** The whole number that ends, with white space after it, at `end`. */
function numberBefore(bytes: Uint8Array, end: number): { start: number; value: number } | undefined {
  let stop = end;
  while (stop > 0 && isWhite(itemAt(bytes, stop - 1))) stop--;
  let start = stop;
  while (start > 0 && isDigit(itemAt(bytes, start - 1))) start--;
  if (stop === end || start === stop || stop - start > 10) return undefined;
  return { start, value: numberFromBytes(bytes, start, stop) };
}

/** The Type shortly after `obj`, before data begins. */
function typeAfter(bytes: Uint8Array, at: number): string | undefined {
  if (at < bytes.length && isRegular(itemAt(bytes, at)) && !isDigit(itemAt(bytes, at))) return undefined;
  const text = latin1(bytes, at, Math.min(bytes.length, at + TYPE_BYTES));
  const body = firstOf(text.split(/endobj|stream[\r\n]/, 1));
  return /\/Type\s*\/(ObjStm|XRef|Catalog)\b/.exec(body)?.[1];
}

async function trailerAt(reading: ReadingObjects, offset: number): Promise<PDFDict | undefined> {
  const found = await readGrowing(reading.source, offset, (bytes, isWhole) =>
    new ObjectParser(bytes, reading.context, { isWhole }).object(),
  );
  return found instanceof PDFDict ? found : undefined;
}

/** Whether an object is the document's catalog: its Type says so, or at least it refers to pages. */
export const isCatalog = (object: unknown): boolean =>
  object instanceof PDFDict &&
  (nameOf(object.get(PDFName.Type)) === 'Catalog' || object.has(PDFName.of('Pages')));

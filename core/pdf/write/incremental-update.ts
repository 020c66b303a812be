/**
 * An update appended to a PDF (ISO 32000-1, 7.5.6): the file itself stays unchanged, byte for byte; new objects and a
 * cross-reference for them follow its end.
 */
import { PDFArray, PDFDict, PDFHexString, PDFName, PDFNumber, type PDFObject, type PDFRef } from 'pdf-lib';
import { firstOf, valueAt } from '../../measure/present.ts';
import { ByteBuffer } from '../file/byte-stream.ts';
import { numberOf } from '../file/dict-values.ts';
import type { PdfFile } from '../file/pdf-file.ts';
import { asciiBytes } from '../page/ascii-bytes.ts';

const TAIL_BYTES = 2048;
/** Offsets of up to a terabyte. */
const OFFSET_BYTES = 5;

/** Where the cross-reference of a file is; undefined where it has no valid one to append an update to. */
export interface UpdateBase {
  readonly startXref: number;
  /** Whether it is a stream; the update then uses a stream too. */
  readonly isStream: boolean;
}

export async function updateBase(file: PdfFile): Promise<UpdateBase | undefined> {
  if (file.isRepaired || file.isEncrypted) return undefined;
  const { source } = file;
  const offset = Math.max(0, source.size - TAIL_BYTES);
  const tail = latin1(await source.read(offset, TAIL_BYTES));
  const startXref = Number([...tail.matchAll(/startxref\s+(\d+)/g)].at(-1)?.[1]);
  if (!(startXref > 0)) return undefined;
  const head = latin1(await source.read(startXref, 20)).trimStart();
  if (head.startsWith('xref')) return { startXref, isStream: false };
  return /^\d+\s+\d+\s+obj/.test(head) ? { startXref, isStream: true } : undefined;
}

export interface ChangedObject {
  readonly ref: PDFRef;
  readonly object: PDFObject;
}

/** The bytes to append. `identifier`: 32 hexadecimal digits that name the file as updated (14.4). */
export function incrementalUpdate(
  file: PdfFile,
  { startXref, isStream }: UpdateBase,
  objects: readonly ChangedObject[],
  nextNumber: number,
  identifier: string,
): Uint8Array {
  const out = new ByteBuffer(1 << 16);
  const put = (text: string) => out.append(asciiBytes(text));
  const place = () => file.source.size + out.length;
  put('\n');
  const offsets = new Map<number, { readonly at: number; readonly generation: number }>();
  for (const { ref, object } of objects) {
    offsets.set(ref.objectNumber, { at: place(), generation: ref.generationNumber });
    put(`${ref.objectNumber} ${ref.generationNumber} obj\n`);
    const bytes = new Uint8Array(object.sizeInBytes());
    object.copyBytesInto(bytes, 0);
    out.append(bytes);
    put('\nendobj\n');
  }
  const xrefAt = place();
  const trailer = PDFDict.withContext(file.context);
  for (const key of ['Root', 'Info', 'ID']) {
    const value = file.trailer.get(PDFName.of(key));
    if (value) trailer.set(PDFName.of(key), value);
  }
  const changed = PDFHexString.of(identifier);
  const before = trailer.get(PDFName.of('ID'));
  const first = before instanceof PDFArray ? before.get(0) : undefined;
  trailer.set(PDFName.of('ID'), file.context.obj([first ?? changed, changed]));
  trailer.set(PDFName.of('Prev'), PDFNumber.of(startXref));
  if (isStream) {
    offsets.set(nextNumber, { at: xrefAt, generation: 0 });
    trailer.set(PDFName.of('Size'), PDFNumber.of(nextNumber + 1));
    const sections = runsOf([...offsets.keys()]);
    trailer.set(PDFName.of('Type'), PDFName.of('XRef'));
    trailer.set(PDFName.of('W'), file.context.obj([1, OFFSET_BYTES, 2]));
    trailer.set(PDFName.of('Index'), file.context.obj(sections.flatMap((run) => [firstOf(run), run.length])));
    const records = sections.flat().flatMap((number) => {
      const { at, generation } = valueAt(offsets, number);
      return [1, ...bigEndian(at, OFFSET_BYTES), ...bigEndian(generation, 2)];
    });
    trailer.set(PDFName.of('Length'), PDFNumber.of(records.length));
    put(`${nextNumber} 0 obj\n${trailer.toString()}\nstream\n`);
    out.append(Uint8Array.from(records));
    put('\nendstream\nendobj\n');
  } else {
    trailer.set(PDFName.of('Size'), PDFNumber.of(nextNumber));
    put('xref\n');
    for (const run of runsOf([...offsets.keys()])) {
      put(`${run[0]} ${run.length}\n`);
      for (const number of run) {
        const { at, generation } = valueAt(offsets, number);
        put(`${String(at).padStart(10, '0')} ${String(generation).padStart(5, '0')} n \n`);
      }
    }
    put(`trailer\n${trailer.toString()}\n`);
  }
  put(`startxref\n${xrefAt}\n%%EOF\n`);
  return out.view();
}

/** The first number that no object of the file has. */
export function freeNumber(file: PdfFile): number {
  let next = numberOf(file.trailer.get(PDFName.of('Size'))) ?? 1;
  for (const [number] of file.table.entries()) next = Math.max(next, number + 1);
  return next;
}

/** Groups of consecutive numbers, in rising order. */
function runsOf(numbers: readonly number[]): number[][] {
  const runs: number[][] = [];
  for (const number of numbers.toSorted((a, b) => a - b)) {
    const last = runs.at(-1);
    if (last && last.at(-1) === number - 1) last.push(number);
    else runs.push([number]);
  }
  return runs;
}

const bigEndian = (value: number, bytes: number): number[] =>
  Array.from({ length: bytes }, (_, index) => Math.floor(value / 256 ** (bytes - 1 - index)) % 256);

function latin1(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return text;
}

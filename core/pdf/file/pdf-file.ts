/**
 * A PDF that is read on demand: opening reads only its cross-reference, objects are parsed when they are requested, and
 * stream data stays in the file until it is needed. Opening a 2 GB artwork costs a few reads at its end.
 */

import {
  PDFContext,
  PDFDict,
  PDFName,
  PDFNull,
  type PDFObject,
  PDFRawStream,
  PDFRef,
  type PDFStream,
} from 'pdf-lib';
import { forgetOldest } from '../../measure/oldest.ts';
import { present } from '../../measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../measure/result.ts';
import { type ByteSource, byteSourceCached } from './byte-source.ts';
import { collectBytes } from './byte-stream.ts';
import type { PdfCodecs } from './codecs.ts';
import { Decryption } from './decryption.ts';
import { arrayOf, bytesOf, dictOf, nameOf, numberOf } from './dict-values.ts';
import {
  type DecodedStream,
  filtersUndone,
  problemUnpacked,
  type StreamFilter,
  streamFilters,
} from './filters.ts';
import { indirectObjectAt, type ReadingObjects, wordIndex } from './indirect-object.ts';
import { PackedObjects } from './packed-objects.ts';
import type { PdfObjects } from './pdf-objects.ts';
import { isPdfProblem, PdfProblem, problemDamaged, problemTooLarge } from './pdf-problem.ts';
import { fileKeyFrom } from './security.ts';
import { StoredStream } from './stored-stream.ts';
import { readXref, type Xref } from './xref-read.ts';
import { isCatalog, repairXref } from './xref-repair.ts';
import type { XrefTable } from './xref-table.ts';

export interface PdfFileOptions {
  readonly codecs: PdfCodecs;
  readonly password?: string | undefined;
}

const HEADER_BYTES = 1024;
const CHUNK_BYTES = 1 << 20;
/**
 * Limit for the unpacked bytes of one stream that is not image data. A few kilobytes can unpack to any size, no real
 * page content is this large, and for a moment it is in memory twice.
 */
const MAX_DECODED_BYTES = 1 << 28;
const PACKED_KEPT = 16;
const MAX_REF_STEPS = 32;

/**
 * Opens a PDF for reading. If the cross-reference is broken, reads the whole file once, in pieces, and rebuilds it. A
 * problem says what is wrong and what to do; a read error of the disk rejects.
 */
export async function openPdfFile(
  source: ByteSource,
  options: PdfFileOptions,
): Promise<Result<PdfFile, PdfProblem>> {
  try {
    return resultOk(await openFile(source, options));
  } catch (error) {
    if (isPdfProblem(error)) return resultProblem(error);
    throw error;
  }
}

async function openFile(source: ByteSource, options: PdfFileOptions): Promise<PdfFile> {
  const head = await source.read(0, HEADER_BYTES);
  const headerAt = wordIndex(head, '%PDF-');
  if (source.size === 0 || (headerAt < 0 && wordIndex(head, ' obj') < 0)) {
    throw new PdfProblem(
      'pdf-not-a-pdf',
      source.size === 0 ? 'The file is empty.' : 'The file is not a PDF: it does not begin with “%PDF-”.',
      'Export the artwork as PDF and import that file.',
    );
  }
  const file = new PdfFile(source, options);
  await file.begin(Math.max(0, headerAt));
  return file;
}

export class PdfFile implements PdfObjects {
  readonly source: ByteSource;
  /** The context that the objects belong to. Only `contextFilled` registers objects in it. */
  readonly context = PDFContext.create();
  /** Whether the cross-reference was broken and the file was read by scanning. */
  get isRepaired(): boolean {
    return this.#isRepaired;
  }
  get isEncrypted(): boolean {
    return this.#decryption !== undefined;
  }
  get trailer(): PDFDict {
    return present(this.#xref, 'The cross-reference of a file').trailer;
  }
  get table(): XrefTable {
    return present(this.#xref, 'The cross-reference of a file').table;
  }
  readonly #options: PdfFileOptions;
  readonly #reading: ReadingObjects;
  readonly #objects = new Map<number, Promise<PDFObject>>();
  readonly #packed = new Map<number, Promise<PackedObjects | undefined>>();
  /** Object numbers that are being read now: a Length that refers to its own stream would wait for itself. */
  readonly #beingRead = new Set<number>();
  /** Object streams that are being unpacked now, kept for the same reason. */
  readonly #unpacking = new Set<number>();
  #xref: Xref | undefined;
  #decryption: Decryption | undefined;
  #encryptRef: PDFRef | undefined;
  #isRepaired = false;
  #repairing: Promise<void> | undefined;

  constructor(source: ByteSource, options: PdfFileOptions) {
    this.source = byteSourceCached(source);
    this.#options = options;
    this.#reading = {
      source: this.source,
      context: this.context,
      decryptionFor: (ref) => {
        const decryption = this.#decryption;
        return decryption && ref !== this.#encryptRef ? (bytes) => decryption.string(ref, bytes) : undefined;
      },
      lengthAt: (ref) => this.#lengthAt(ref),
    };
  }

  /** Reads the cross-reference. Only `openPdfFile` calls it, once. */
  async begin(headerAt: number): Promise<void> {
    try {
      this.#xref = await readXref(this.#reading, this.#options.codecs, headerAt);
    } catch (error) {
      // A section that cannot be unpacked counts as a broken cross-reference.
      if (!isPdfProblem(error)) throw error;
    }
    if (this.#xref !== undefined) {
      await this.#unlock();
      if (await this.#hasPages()) return;
    }
    await this.#repair();
    if (!(await this.#hasPages())) {
      throw problemDamaged('The PDF is damaged: no list of pages is left in it.');
    }
  }

  async catalog(): Promise<PDFDict> {
    const root = dictOf(await this.resolved(this.trailer.get(PDFName.of('Root'))));
    if (root === undefined) throw problemDamaged('The PDF is damaged: its catalog is missing.');
    return root;
  }

  /**
   * The object that a reference names; undefined when it is missing, free or null. Repeated calls return the same
   * object.
   */
  async object(ref: PDFRef): Promise<PDFObject | undefined> {
    const { objectNumber } = ref;
    let read = this.#objects.get(objectNumber);
    if (read === undefined) {
      this.#beingRead.add(objectNumber);
      read = this.#read(objectNumber).finally(() => this.#beingRead.delete(objectNumber));
      this.#objects.set(objectNumber, read);
      read.catch(() => this.#objects.delete(objectNumber));
    }
    const object = await read;
    return object === PDFNull ? undefined : object;
  }

  async resolved(object: PDFObject | undefined): Promise<PDFObject | undefined> {
    let value = object;
    for (let steps = 0; value instanceof PDFRef; steps++) {
      if (steps > MAX_REF_STEPS) throw problemDamaged(`Object ${value.objectNumber} refers to itself.`);
      value = await this.object(value);
    }
    return value === PDFNull ? undefined : value;
  }

  /** The entry of a dictionary, resolved. */
  async entry(dict: PDFDict | undefined, key: string): Promise<PDFObject | undefined> {
    return dict === undefined ? undefined : this.resolved(dict.get(PDFName.of(key)));
  }

  /** The filters of the stream's data, in the order in which they are undone. */
  streamFilters(stream: PDFStream): Promise<StreamFilter[]> {
    return streamFilters(stream.dict, (object) => this.resolved(object));
  }

  /** The stream's data as coded (decrypted, not unpacked), in one piece. Use it for streams known to be small. */
  async streamBytes(stream: PDFStream): Promise<Uint8Array> {
    if (stream instanceof StoredStream) {
      if (this.#decryption === undefined) return this.source.read(stream.offset, stream.length);
      return collectBytes(this.streamChunks(stream, stream.length), stream.length);
    }
    if (stream instanceof PDFRawStream) return stream.contents;
    return stream.getContents();
  }

  /**
   * The stream's data as coded (decrypted, not unpacked), in pieces, for image data of any size. Each piece is valid
   * only until the next is requested.
   */
  async *streamChunks(stream: PDFStream, chunkBytes = CHUNK_BYTES): AsyncGenerator<Uint8Array> {
    if (!(stream instanceof StoredStream)) {
      yield await this.streamBytes(stream);
      return;
    }
    const decipher = await this.#decipherFor(stream);
    const memory = new Uint8Array(Math.min(chunkBytes, stream.length));
    for (let done = 0; done < stream.length; done += chunkBytes) {
      const length = Math.min(chunkBytes, stream.length - done);
      const bytes = await this.source.read(stream.offset + done, length, memory);
      const plain = decipher === undefined ? bytes : decipher.update(bytes);
      if (plain.length > 0) yield plain;
    }
    const rest = decipher?.end();
    if (rest !== undefined && rest.length > 0) yield rest;
  }

  async streamDecoded(stream: PDFStream, limit = MAX_DECODED_BYTES): Promise<DecodedStream> {
    if (stream instanceof StoredStream && stream.length > limit) {
      throw problemTooLarge(
        `The data of object ${stream.ref.objectNumber} is over ${Math.round(limit / 1e6)} MB.`,
      );
    }
    const resolve = (object: PDFObject | undefined) => this.resolved(object);
    const filters = await this.streamFilters(stream);
    return filtersUndone(await this.streamBytes(stream), filters, this.#options.codecs, resolve, limit);
  }

  /**
   * The unpacked data in pieces, for streams packed by Flate alone; undefined for others. Each piece has its own
   * memory. Returns whether the data ended properly, with the right checksum.
   */
  async streamDecodedPieces(stream: PDFStream): Promise<AsyncGenerator<Uint8Array, boolean> | undefined> {
    const filters = await this.streamFilters(stream);
    const [only, second] = filters;
    if (second || only?.name !== 'FlateDecode') return undefined;
    if (only.params?.get(PDFName.of('Predictor')) !== undefined) return undefined;
    return limited(this.#options.codecs.inflatePieces(this.streamChunks(stream)));
  }

  /**
   * Registers in `context` every object that the roots refer to, so that pdf-lib's own look-ups find them. Stream data
   * stays in the file. Keys in `except` are not followed; the default is Parent, which leads to every page.
   */
  async contextFilled(
    roots: readonly PDFObject[],
    except: ReadonlySet<string> = NOT_FOLLOWED,
  ): Promise<PDFContext> {
    const pending: PDFObject[] = [...roots];
    const seen = new Set<PDFObject>();
    for (let next = pending.pop(); next !== undefined; next = pending.pop()) {
      if (seen.has(next)) continue;
      seen.add(next);
      if (next instanceof PDFRef) {
        const object = await this.object(next);
        if (object === undefined) continue;
        this.context.assign(next, object);
        pending.push(object);
      } else {
        const array = arrayOf(next);
        if (array !== undefined) pending.push(...array.asArray());
        for (const [key, value] of dictOf(next)?.entries() ?? []) {
          if (!except.has(key.decodeText())) pending.push(value);
        }
      }
    }
    return this.context;
  }

  async #read(objectNumber: number): Promise<PDFObject> {
    const object = await this.#readByTable(objectNumber);
    if (object !== undefined) return object;
    if (this.#isRepaired || this.#xref?.table.get(objectNumber)?.kind !== 'stored') return PDFNull;
    // The table gives a wrong place for the object, so none of the table can be trusted.
    await this.#repair();
    return (await this.#readByTable(objectNumber)) ?? PDFNull;
  }

  /** PDFNull where the table has no such object; undefined where the table is wrong. */
  async #readByTable(objectNumber: number): Promise<PDFObject | undefined> {
    const entry = this.#xref?.table.get(objectNumber);
    if (entry === undefined || entry.kind === 'free') return PDFNull;
    if (entry.kind === 'packed') {
      return (await this.#packedObjects(entry.container))?.object(objectNumber, entry.index) ?? PDFNull;
    }
    const found = await indirectObjectAt(this.#reading, entry.offset);
    return found?.ref.objectNumber === objectNumber ? found.object : undefined;
  }

  #packedObjects(container: number): Promise<PackedObjects | undefined> {
    let packed = this.#packed.get(container);
    if (packed === undefined) {
      this.#unpacking.add(container);
      packed = this.#unpacked(container).finally(() => this.#unpacking.delete(container));
      packed.catch(() => this.#packed.delete(container));
      if (this.#packed.size >= PACKED_KEPT) forgetOldest(this.#packed);
    } else {
      this.#packed.delete(container);
    }
    this.#packed.set(container, packed);
    return packed;
  }

  async #unpacked(container: number): Promise<PackedObjects | undefined> {
    if (this.#xref?.table.get(container)?.kind !== 'stored') return undefined;
    const stream = await this.object(PDFRef.of(container));
    if (!(stream instanceof StoredStream)) return undefined;
    // Objects needed for unpacking must not be packed themselves: they could be in this very stream.
    const resolve = async (object: PDFObject | undefined) =>
      object instanceof PDFRef && this.#isPacked(object) ? undefined : this.resolved(object);
    const filters = await streamFilters(stream.dict, resolve);
    const packed = await this.streamBytes(stream);
    const { bytes } = await filtersUndone(packed, filters, this.#options.codecs, resolve, MAX_DECODED_BYTES);
    return new PackedObjects(stream, bytes, this.context);
  }

  /** Undefined where the request could wait for itself; the caller then searches for the stream's `endstream`. */
  async #lengthAt(ref: PDFRef): Promise<number | undefined> {
    const entry = this.#xref?.table.get(ref.objectNumber);
    const container = entry?.kind === 'packed' ? entry.container : ref.objectNumber;
    if (this.#beingRead.has(ref.objectNumber) || this.#beingRead.has(container)) return undefined;
    if (entry?.kind === 'packed' && this.#unpacking.has(container)) return undefined;
    return numberOf(await this.object(ref));
  }

  #isPacked(ref: PDFRef): boolean {
    return this.#xref?.table.get(ref.objectNumber)?.kind === 'packed';
  }

  async #decipherFor(stream: StoredStream) {
    if (this.#decryption === undefined) return undefined;
    const type = nameOf(stream.dict.get(PDFName.Type));
    if (type === 'XRef') return undefined;
    if (type === 'Metadata' && !this.#decryption.fileKey.isMetadataEncrypted) return undefined;
    const [first] = await this.streamFilters(stream);
    // A Crypt filter overrides the file's own method; without a name it means Identity.
    const crypt =
      first?.name === 'Crypt' ? (nameOf(first.params?.get(PDFName.of('Name'))) ?? 'Identity') : '';
    return crypt === 'Identity' ? undefined : this.#decryption.stream(stream.ref);
  }

  async #unlock(): Promise<void> {
    this.#decryption = undefined;
    const entry = this.trailer.get(PDFName.of('Encrypt'));
    this.#encryptRef = entry instanceof PDFRef ? entry : undefined;
    const encrypt = dictOf(await this.resolved(entry));
    if (encrypt === undefined) return;
    const resolved = PDFDict.withContext(this.context);
    for (const [key, value] of encrypt.entries()) {
      const object = await this.resolved(value);
      if (object !== undefined) resolved.set(key, object);
    }
    const ids = arrayOf(await this.resolved(this.trailer.get(PDFName.of('ID'))));
    const fileId = bytesOf(await this.resolved(ids?.asArray()[0])) ?? new Uint8Array();
    this.#decryption = new Decryption(
      fileKeyFrom(resolved, fileId, this.#options.password, this.#options.codecs),
      this.#options.codecs,
    );
    // Objects read so far were read without the key.
    const kept = this.#encryptRef?.objectNumber;
    for (const number of this.#objects.keys()) if (number !== kept) this.#objects.delete(number);
  }

  async #hasPages(): Promise<boolean> {
    try {
      const root = await this.resolved(this.trailer.get(PDFName.of('Root')));
      return root instanceof PDFDict && dictOf(await this.entry(root, 'Pages')) !== undefined;
    } catch (error) {
      if (isPdfProblem(error)) return false;
      throw error;
    }
  }

  /** Replaces the table by what a scan of the whole file finds. */
  #repair(): Promise<void> {
    this.#repairing ??= this.replaceTable();
    return this.#repairing;
  }

  async replaceTable(): Promise<void> {
    // The repair must not look up lengths in the old table.
    const repaired = await repairXref({ ...this.#reading, lengthAt: async () => undefined });
    if (repaired === undefined) {
      throw problemDamaged('The PDF is damaged: its cross-reference and its catalog are missing.');
    }
    this.#isRepaired = true;
    this.#xref = repaired;
    this.#objects.clear();
    this.#packed.clear();
    await this.#unlock();
    const { table, trailer } = repaired;
    const ROOT = PDFName.of('Root');
    for (const { ref, offset } of repaired.containers) {
      const packed = await this.#packedObjects(ref.objectNumber).catch(() => undefined);
      for (const [index, objectNumber] of (packed?.objectNumbers ?? []).entries()) {
        const known = table.get(objectNumber);
        if (known?.kind === 'stored' && known.offset > offset) continue;
        table.set(objectNumber, { kind: 'packed', container: ref.objectNumber, index }, false);
        this.#objects.delete(objectNumber);
        const isLost = !trailer.has(ROOT);
        if (isLost && isCatalog(packed?.object(objectNumber, index)))
          trailer.set(ROOT, PDFRef.of(objectNumber));
      }
    }
  }
}

async function* limited(pieces: AsyncGenerator<Uint8Array, boolean>): AsyncGenerator<Uint8Array, boolean> {
  let length = 0;
  for (;;) {
    const next = await pieces.next();
    if (next.done === true) return next.value;
    length += next.value.length;
    if (length > MAX_DECODED_BYTES) {
      await pieces.return(false);
      throw problemUnpacked(MAX_DECODED_BYTES);
    }
    yield next.value;
  }
}

const NOT_FOLLOWED: ReadonlySet<string> = new Set(['Parent']);

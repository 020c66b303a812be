import { type PDFContext, type PDFDict, PDFName, PDFNumber, type PDFObject, type PDFRef } from 'pdf-lib';
import { ByteBuffer, type ByteSink, type FlateCodec } from '../file/byte-stream.ts';
import { asciiBytes } from '../page/ascii-bytes.ts';

/** The destination of a file, written from its start. */
export interface FileOutput {
  /** The caller may use the memory again once this has returned or its promise has resolved. */
  write(bytes: Uint8Array): Promise<void> | void;
  /** Discards everything after the first `length` bytes. */
  rewind(length: number): Promise<void> | void;
}

/** A position in a file that is being written, to return to. */
export interface WriterMark {
  readonly position: number;
  readonly objects: number;
}

/**
 * Small objects are packed in groups of this many or this many bytes, whichever comes first, because a reader unpacks a
 * whole stream to get one object.
 */
const PACKED_OBJECTS = 200;
const PACKED_BYTES = 1 << 17;
const BUFFER_BYTES = 1 << 16;
/** Packing this much takes a few milliseconds. */
const PIECE_BYTES = 1 << 18;
/** Offsets of up to a terabyte in a cross-reference stream. */
const OFFSET_BYTES = 5;

type Place =
  | { readonly kind: 'stored'; readonly at: number }
  | { readonly kind: 'packed'; readonly container: number; readonly index: number };

/**
 * Writes a PDF from front to back, without holding what is written. Small objects go into object streams (ISO 32000-1,
 * 7.5.7), and the cross-reference is a stream at the end (7.5.8), so the file is at least version 1.5.
 */
export class PdfWriter {
  readonly #output: FileOutput;
  readonly #context: PDFContext;
  readonly #flate: FlateCodec;
  readonly #pause: (() => Promise<void>) | undefined;
  readonly #places = new Map<number, Place>();
  /** Object numbers in the order of writing, so that objects can be taken back. */
  readonly #order: number[] = [];
  readonly #buffer = new ByteBuffer(BUFFER_BYTES);
  #position = 0;
  #packed: { readonly number: number; readonly object: PDFObject; readonly size: number }[] = [];
  #packedBytes = 0;

  /** Takes new numbers from `context`. Calls and awaits `pause` now and then; it may throw to stop. */
  constructor(output: FileOutput, context: PDFContext, flate: FlateCodec, pause?: () => Promise<void>) {
    this.#output = output;
    this.#context = context;
    this.#flate = flate;
    this.#pause = pause;
  }

  /**
   * Writes the header. `version` is a number such as 1.7. The four bytes above 127 tell programs that the file is
   * binary (7.5.2).
   */
  async begin(version: number): Promise<void> {
    await this.#put(asciiBytes(`%PDF-${version.toFixed(1)}\n`));
    await this.#put(Uint8Array.of(0x25, 0xc2, 0xb5, 0xc2, 0xb6, 0x0a));
  }

  async mark(): Promise<WriterMark> {
    await this.#flush();
    return { position: this.#position, objects: this.#order.length };
  }

  /** Takes back all streams written since the mark. */
  async rewind({ position, objects }: WriterMark): Promise<void> {
    await this.#flush();
    await this.#output.rewind(position);
    this.#position = position;
    for (const number of this.#order.splice(objects)) this.#places.delete(number);
  }

  /** Writes an object that is not a stream. */
  async writeObject(ref: PDFRef, object: PDFObject): Promise<void> {
    const size = object.sizeInBytes();
    this.#packed.push({ number: ref.objectNumber, object, size });
    this.#packedBytes += size;
    if (this.#packed.length >= PACKED_OBJECTS || this.#packedBytes >= PACKED_BYTES) await this.#pack();
  }

  /**
   * Begins a stream whose data go into the returned sink, packed as `dict` says. Write nothing else before the sink is
   * ended. A known `length` goes into the dictionary.
   */
  stream(ref: PDFRef, dict: PDFDict, length?: number): ByteSink {
    let written = 0;
    const lengthRef = length === undefined ? this.#context.nextRef() : undefined;
    dict.set(PDFName.Length, lengthRef ?? PDFNumber.of(length ?? 0));
    let isBegun = false;
    const begin = async (): Promise<void> => {
      if (isBegun) return;
      isBegun = true;
      this.#recordPlace(ref.objectNumber, { kind: 'stored', at: this.#position });
      await this.#put(asciiBytes(`${ref.objectNumber} 0 obj\n`));
      await this.#put(bytesOf(dict));
      await this.#put(asciiBytes('\nstream\n'));
    };
    return {
      write: async (bytes) => {
        await begin();
        written += bytes.length;
        await this.#put(bytes);
      },
      end: async () => {
        await begin();
        if (length !== undefined && written !== length) {
          throw new Error(`A stream of ${length} bytes was written with ${written}`);
        }
        await this.#put(asciiBytes('\nendstream\nendobj\n'));
        if (lengthRef === undefined) return;
        this.#recordPlace(lengthRef.objectNumber, { kind: 'stored', at: this.#position });
        await this.#put(asciiBytes(`${lengthRef.objectNumber} 0 obj\n${written}\nendobj\n`));
      },
    };
  }

  /** Packs bytes in memory by Flate and writes them as a stream. */
  async writePackedStream(ref: PDFRef, dict: PDFDict, bytes: Uint8Array): Promise<void> {
    const packed = await this.#deflated(bytes);
    dict.set(PDFName.of('Filter'), PDFName.of('FlateDecode'));
    const sink = this.stream(ref, dict, packed.length);
    await sink.write(packed);
    await sink.end();
  }

  /** Writes the objects still held back, the cross-reference and the end of the file. `trailer`: Root, Info, ID. */
  async finish(trailer: Readonly<Record<string, PDFObject>>): Promise<void> {
    await this.#pack();
    const ref = this.#context.nextRef();
    const at = this.#position;
    this.#recordPlace(ref.objectNumber, { kind: 'stored', at });
    const size = ref.objectNumber + 1;
    const dict = this.#context.obj({ Type: 'XRef', Size: size, W: [1, OFFSET_BYTES, 2] });
    for (const [key, value] of Object.entries(trailer)) dict.set(PDFName.of(key), value);
    await this.writePackedStream(ref, dict, this.#crossReference(size));
    await this.#put(asciiBytes(`startxref\n${at}\n%%EOF\n`));
    await this.#flush();
  }

  async #pack(): Promise<void> {
    const packed = this.#packed;
    if (packed.length === 0) return;
    this.#packed = [];
    this.#packedBytes = 0;
    const container = this.#context.nextRef();
    let offset = 0;
    const offsets: string[] = [];
    for (const [index, { number, size }] of packed.entries()) {
      this.#recordPlace(number, { kind: 'packed', container: container.objectNumber, index });
      offsets.push(`${number} ${offset}`);
      offset += size + 1;
    }
    const head = asciiBytes(`${offsets.join(' ')}\n`);
    const bytes = new Uint8Array(head.length + offset);
    bytes.set(head);
    let at = head.length;
    for (const { object, size } of packed) {
      object.copyBytesInto(bytes, at);
      at += size;
      bytes[at++] = 0x0a;
    }
    const dict = this.#context.obj({ Type: 'ObjStm', N: packed.length, First: head.length });
    await this.writePackedStream(container, dict, bytes);
  }

  /** Fixed-width fields, big-endian: kind, offset or container, generation or index (Table 18). */
  #crossReference(size: number): Uint8Array {
    const width = 1 + OFFSET_BYTES + 2;
    const bytes = new Uint8Array(size * width);
    const view = new DataView(bytes.buffer);
    const put = (number: number, kind: number, second: number, third: number): void => {
      const at = number * width;
      bytes[at] = kind;
      bytes[at + 1] = Math.floor(second / 2 ** 32);
      view.setUint32(at + 2, second % 2 ** 32);
      view.setUint16(at + 1 + OFFSET_BYTES, third);
    };
    for (let number = 0; number < size; number += 1) put(number, 0, 0, 65_535);
    for (const [number, place] of this.#places) {
      if (place.kind === 'stored') put(number, 1, place.at, 0);
      else put(number, 2, place.container, place.index);
    }
    return bytes;
  }

  #recordPlace(number: number, place: Place): void {
    this.#places.set(number, place);
    this.#order.push(number);
  }

  async #deflated(bytes: Uint8Array): Promise<Uint8Array> {
    const packed = new ByteBuffer(Math.max(64, bytes.length >> 1));
    const sink = this.#flate.deflate({ write: (part) => packed.append(part), end: () => undefined });
    for (let at = 0; at < bytes.length; at += PIECE_BYTES) {
      await this.#pause?.();
      await sink.write(bytes.subarray(at, at + PIECE_BYTES));
    }
    await sink.end();
    return packed.view();
  }

  async #put(bytes: Uint8Array): Promise<void> {
    this.#position += bytes.length;
    if (bytes.length >= BUFFER_BYTES) {
      await this.#flush();
      await this.#output.write(bytes);
      return;
    }
    this.#buffer.append(bytes);
    if (this.#buffer.length >= BUFFER_BYTES) await this.#flush();
  }

  async #flush(): Promise<void> {
    if (this.#buffer.length === 0) return;
    await this.#output.write(this.#buffer.view());
    this.#buffer.clear();
  }
}

function bytesOf(object: PDFObject): Uint8Array {
  const bytes = new Uint8Array(object.sizeInBytes());
  object.copyBytesInto(bytes, 0);
  return bytes;
}

import { type PDFContext, PDFName, PDFNull, type PDFObject } from 'pdf-lib';
import { numberOf } from './dict-values.ts';
import { ObjectParser } from './object-parser.ts';
import type { StoredStream } from './stored-stream.ts';

/** An unpacked object stream, ISO 32000-1, 7.5.7. Its objects are parsed on demand. */
export class PackedObjects {
  /** Object numbers in the stream's order. */
  readonly objectNumbers: readonly number[];
  readonly #bytes: Uint8Array;
  readonly #context: PDFContext;
  readonly #offsets: readonly number[];

  constructor(container: StoredStream, bytes: Uint8Array, context: PDFContext) {
    this.#bytes = bytes;
    this.#context = context;
    const count = numberOf(container.dict.get(PDFName.of('N'))) ?? 0;
    const first = numberOf(container.dict.get(PDFName.of('First'))) ?? 0;
    const header = new ObjectParser(bytes.subarray(0, first), context);
    const numbers: number[] = [];
    const offsets: number[] = [];
    for (let i = 0; i < count; i++) {
      const number = header.takeWhole();
      const offset = number === undefined ? undefined : header.takeWhole();
      if (number === undefined || offset === undefined) break;
      numbers.push(number);
      offsets.push(first + offset);
    }
    this.objectNumbers = numbers;
    this.#offsets = offsets;
  }

  /** The object with that number, tried at `index` first; undefined when the stream does not contain it. */
  object(objectNumber: number, index: number): PDFObject | undefined {
    const i =
      this.objectNumbers[index] === objectNumber ? index : this.objectNumbers.lastIndexOf(objectNumber);
    const at = this.#offsets[i];
    if (at === undefined) return undefined;
    return new ObjectParser(this.#bytes, this.#context, { at }).object() ?? PDFNull;
  }
}

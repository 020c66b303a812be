import { type PDFDict, type PDFRef, PDFStream } from 'pdf-lib';

/**
 * A stream whose data stays where it is in the file. Its dictionary is at hand; the bytes are asked for
 * through the file that it came from. It refuses to pass for a stream in memory.
 */
export class StoredStream extends PDFStream {
  /** The object that holds it: names it in messages, and its key when the file is encrypted. */
  readonly ref: PDFRef;
  /** Where the data begins in the file, bytes. */
  readonly offset: number;
  /** How long the data is as stored (encrypted, compressed), bytes. */
  readonly length: number;

  constructor(dict: PDFDict, ref: PDFRef, offset: number, length: number) {
    super(dict);
    this.ref = ref;
    this.offset = offset;
    this.length = length;
  }

  override getContentsSize(): number {
    return this.length;
  }

  override getContents(): Uint8Array {
    throw new Error(`The data of object ${this.ref.objectNumber} is still in the file: ask the file for it.`);
  }

  override getContentsString(): string {
    throw new Error(`The data of object ${this.ref.objectNumber} is still in the file: ask the file for it.`);
  }
}

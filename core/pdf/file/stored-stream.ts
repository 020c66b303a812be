import { type PDFDict, type PDFRef, PDFStream } from 'pdf-lib';

/**
 * A stream whose data stays in the file. Only its dictionary is in memory; its bytes are read through the file that it
 * came from. It refuses to act as a stream in memory.
 */
export class StoredStream extends PDFStream {
  /** The object that holds the stream. Messages name it, and an encrypted file derives the key from it. */
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

import type { PDFObject, PDFStream } from 'pdf-lib';
import type { DecodedStream } from './filters.ts';

/**
 * The parts of a document that reading a page's content needs: references resolved, streams unpacked. `PdfFile`
 * implements it for a file on disk; a document in memory can implement it too.
 */
export interface PdfObjects {
  /** The object itself, references followed; undefined for null, missing and undefined. */
  resolved(object: PDFObject | undefined): Promise<PDFObject | undefined>;
  /** The stream's bytes with every coding undone, except that of an image. @throws PdfProblem */
  streamDecoded(stream: PDFStream): Promise<DecodedStream>;
  /** The stream's data as coded, in pieces; each is valid until the next is requested. @throws PdfProblem */
  streamChunks(stream: PDFStream, chunkBytes?: number): AsyncGenerator<Uint8Array>;
}

import type { PDFObject, PDFStream } from 'pdf-lib';
import type { DecodedStream } from './filters.ts';

/**
 * What reading a page's content needs of a document: references resolved, streams unpacked. `PdfFile` offers
 * it from a file on disk; a document in memory can offer it as easily.
 */
export interface PdfObjects {
  /** The object itself, references followed; undefined for null, missing and undefined. */
  resolved(object: PDFObject | undefined): Promise<PDFObject | undefined>;
  /** The stream's bytes with every coding undone, except that of an image. @throws PdfProblem */
  streamDecoded(stream: PDFStream): Promise<DecodedStream>;
  /** The stream's data as coded, in pieces that each live until the next is asked for. @throws PdfProblem */
  streamChunks(stream: PDFStream, chunkBytes?: number): AsyncGenerator<Uint8Array>;
}

/** Whether a content stream is complete: deflated data end with a checksum of the unpacked bytes (RFC 1950). */
import { PDFName, type PDFStream } from 'pdf-lib';
import { adler32 } from '../file/adler32.ts';
import { streamFilters } from '../file/filters.ts';
import type { PdfFile } from '../file/pdf-file.ts';

/** Bytes of white space or padding that may follow the checksum. */
const TAIL_BYTES = 32;

/**
 * Whether a deflated stream ends before its own checksum, or does not match it: readers then paint what came before the
 * damage without a message. False for streams with other filters, which have no checksum.
 */
export async function isStreamCutOff(
  file: PdfFile,
  stream: PDFStream,
  unpacked: Uint8Array,
): Promise<boolean> {
  const filters = await streamFilters(stream.dict, (object) => file.resolved(object));
  const isPlainFlate =
    filters.length === 1 &&
    filters[0]!.name === 'FlateDecode' &&
    filters[0]!.params?.get(PDFName.of('Predictor')) === undefined;
  if (!isPlainFlate || unpacked.length === 0) return false;
  const tail = (await file.streamBytes(stream)).subarray(-TAIL_BYTES);
  const checksum = adler32(unpacked);
  for (let at = tail.length - 4; at >= 0; at--) {
    const stated = ((tail[at]! << 24) | (tail[at + 1]! << 16) | (tail[at + 2]! << 8) | tail[at + 3]!) >>> 0;
    if (stated === checksum) return false;
  }
  return true;
}

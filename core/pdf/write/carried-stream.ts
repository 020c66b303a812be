import type { PDFDict, PDFRef, PDFStream } from 'pdf-lib';
import type { PdfFile } from '../file/pdf-file.ts';
import { StoredStream } from '../file/stored-stream.ts';
import type { PdfWriter } from './pdf-writer.ts';

/** Copies the data of a stream of `file`, still packed, chunk by chunk. */
export async function writeCarriedStream(
  writer: PdfWriter,
  ref: PDFRef,
  dict: PDFDict,
  { file, from }: { readonly file: PdfFile; readonly from: PDFStream },
): Promise<void> {
  // Encrypted data get shorter when decrypted.
  const isAsLong = from instanceof StoredStream && !file.isEncrypted;
  const sink = writer.stream(ref, dict, isAsLong ? from.length : undefined);
  for await (const chunk of file.streamChunks(from)) await sink.write(chunk);
  await sink.end();
}

import type { ByteSource } from '../../../../core/pdf/file/byte-source.ts';
import { type PdfPage, pdfPages } from '../../../../core/pdf/file/pages.ts';
import { openPdfFile, type PdfFile } from '../../../../core/pdf/file/pdf-file.ts';
import { pdfCodecs } from '../../../../main/files/pdf-source.ts';
import { byteSourceFromBytes } from '../../../support/artwork-bytes.ts';

/** Opens bytes that are expected to open. */
export async function fileFrom(source: Uint8Array | ByteSource, password?: string): Promise<PdfFile> {
  const bytes = source instanceof Uint8Array ? byteSourceFromBytes(source) : source;
  const opened = await openPdfFile(bytes, { codecs: pdfCodecs, password });
  if (!opened.ok) throw opened.problem;
  return opened.value;
}

/** The page at `index`, from 0. */
export async function pdfPage(file: PdfFile, index: number): Promise<PdfPage> {
  for await (const page of pdfPages(file)) if (page.index === index) return page;
  throw new Error(`The PDF has no page ${index + 1}.`);
}

/** A source that counts what is asked of it. */
export interface CountedSource extends ByteSource {
  reads: number;
  bytes: number;
}

export function sourceCounted(source: ByteSource): CountedSource {
  const counted: CountedSource = {
    size: source.size,
    reads: 0,
    bytes: 0,
    async read(offset, length) {
      const out = await source.read(offset, length);
      counted.reads++;
      counted.bytes += out.length;
      return out;
    },
  };
  return counted;
}

/** A source of any size that is made of a few pieces and, between them, of one byte repeated. */
export function sourceSparse(
  size: number,
  pieces: readonly { readonly at: number; readonly text: string }[],
  fill = 0xa5,
): ByteSource {
  return {
    size,
    async read(offset, length) {
      const out = new Uint8Array(Math.max(0, Math.min(length, size - offset))).fill(fill);
      for (const { at, text } of pieces) {
        const from = Math.max(0, offset - at);
        const to = Math.min(text.length, offset + out.length - at);
        for (let i = from; i < to; i++) out[at + i - offset] = text.charCodeAt(i);
      }
      return out;
    },
  };
}

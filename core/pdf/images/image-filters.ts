import type { PDFDict, PDFStream } from 'pdf-lib';
import { boolOf, numberOf } from '../file/dict-values.ts';
import type { PdfFile } from '../file/pdf-file.ts';
import type { ImageFilter } from './image-crop.ts';

/** The filters of an image's stream, in the order of decoding. */
export async function imageFilters(stream: PDFStream, file: PdfFile): Promise<ImageFilter[]> {
  const filters: ImageFilter[] = [];
  for (const { name, params } of await file.streamFilters(stream)) {
    filters.push({ name, parms: await plainParms(params, file) });
  }
  return filters;
}

/** Numbers and booleans. Streams among the parameters belong to codings that are not read in rows. */
async function plainParms(params: PDFDict | undefined, file: PdfFile): Promise<ImageFilter['parms']> {
  const plain: Record<string, number | boolean> = {};
  for (const [key, value] of params?.entries() ?? []) {
    const object = await file.resolved(value);
    const read = numberOf(object) ?? boolOf(object);
    if (read !== undefined) plain[key.decodeText()] = read;
  }
  return plain;
}

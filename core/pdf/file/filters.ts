import {
  decodePDFRawStream,
  PDFContext,
  PDFDict,
  PDFName,
  PDFNumber,
  type PDFObject,
  PDFRawStream,
} from 'pdf-lib';
import type { PdfCodecs } from './codecs.ts';
import { arrayOf, dictOf, nameOf, numberOf } from './dict-values.ts';
import { isPdfProblem, PdfProblem, problemStreamDamaged, problemTooLarge } from './pdf-problem.ts';
import { predictorUndone } from './predictor.ts';

/** One stage of a stream's coding, full name, with its parameters. */
export interface StreamFilter {
  readonly name: string;
  readonly params: PDFDict | undefined;
}

/** The result of decoding: the bytes, and the image codings (DCT, JPX, JBIG2, CCITT) that are not undone. */
export interface DecodedStream {
  readonly bytes: Uint8Array;
  readonly remaining: readonly StreamFilter[];
}

/** Abbreviations, ISO 32000-1, Table 94; they are for inline images, but occur elsewhere too. */
const FULL_NAMES: Readonly<Record<string, string>> = {
  Fl: 'FlateDecode',
  LZW: 'LZWDecode',
  A85: 'ASCII85Decode',
  AHx: 'ASCIIHexDecode',
  RL: 'RunLengthDecode',
  CCF: 'CCITTFaxDecode',
  DCT: 'DCTDecode',
};

const IMAGE_FILTERS = new Set(['DCTDecode', 'JPXDecode', 'JBIG2Decode', 'CCITTFaxDecode']);
const BYTE_FILTERS = new Set(['LZWDecode', 'ASCII85Decode', 'ASCIIHexDecode', 'RunLengthDecode']);
const MAX_FILTERS = 16;
const EMPTY_CONTEXT = PDFContext.create();

/** Follows a reference if the object is one. */
export type Resolve = (object: PDFObject | undefined) => Promise<PDFObject | undefined>;

/** The filters of a stream, in the order of decoding. F and DP are the short keys of inline images. */
export async function streamFilters(dict: PDFDict, resolve: Resolve): Promise<StreamFilter[]> {
  const get = (key: string) => resolve(dict.get(PDFName.of(key)));
  const filter = (await get('Filter')) ?? (await get('F'));
  const params = (await get('DecodeParms')) ?? (await get('DP'));
  const names = arrayOf(filter)?.asArray() ?? (filter === undefined ? [] : [filter]);
  if (names.length > MAX_FILTERS)
    throw problemTooLarge(`A stream is coded more than ${MAX_FILTERS} times over.`);
  const filters: StreamFilter[] = [];
  for (const [i, item] of names.entries()) {
    const name = nameOf(await resolve(item));
    if (name === undefined) continue;
    const own = arrayOf(params);
    const dictOfParams = own === undefined ? (i === 0 ? params : undefined) : await resolve(own.get(i));
    filters.push({ name: FULL_NAMES[name] ?? name, params: dictOf(dictOfParams) });
  }
  return filters;
}

/** Undoes the filters up to the first image coding. `limit` is the maximum of bytes after each filter. */
export async function filtersUndone(
  data: Uint8Array,
  filters: readonly StreamFilter[],
  codecs: PdfCodecs,
  resolve: Resolve,
  limit: number,
): Promise<DecodedStream> {
  let bytes = data;
  for (const [i, filter] of filters.entries()) {
    if (IMAGE_FILTERS.has(filter.name)) return { bytes, remaining: filters.slice(i) };
    bytes = await filterUndone(bytes, filter, codecs, resolve, limit);
    if (bytes.length > limit) {
      throw problemUnpacked(limit);
    }
  }
  return { bytes, remaining: [] };
}

export const problemUnpacked = (limit: number): PdfProblem =>
  problemTooLarge(`A stream unpacks to more than ${Math.round(limit / 1e6)} MB.`);

async function filterUndone(
  bytes: Uint8Array,
  filter: StreamFilter,
  codecs: PdfCodecs,
  resolve: Resolve,
  limit: number,
): Promise<Uint8Array> {
  if (filter.name === 'Crypt') return bytes;
  if (filter.name !== 'FlateDecode' && !BYTE_FILTERS.has(filter.name)) {
    throw new PdfProblem(
      'pdf-filter-unknown',
      `The PDF packs data with “${filter.name}”, which is no standard coding.`,
      'Save the file again as a standard PDF, such as PDF/X-4, and import that.',
    );
  }
  const param = async (key: string) => numberOf(await resolve(filter.params?.get(PDFName.of(key))));
  try {
    if (filter.name === 'FlateDecode') bytes = await codecs.inflate(bytes, limit);
    else bytes = byteFilterUndone(bytes, filter.name, await param('EarlyChange'), limit);
  } catch (cause) {
    if (isPdfProblem(cause)) throw cause;
    if (cause instanceof RangeError) throw problemUnpacked(limit);
    throw problemStreamDamaged(`Data packed with ${filter.name} cannot be unpacked.`, cause);
  }
  if (filter.params === undefined || !/^(Flate|LZW)Decode$/.test(filter.name)) return bytes;
  return predictorUndone(bytes, {
    predictor: (await param('Predictor')) ?? 1,
    colors: (await param('Colors')) ?? 1,
    bitsPerComponent: (await param('BitsPerComponent')) ?? 8,
    columns: (await param('Columns')) ?? 1,
  });
}

const CHUNK_BYTES = 1 << 20;

/** pdf-lib undoes the simple filters; it reads from its own stream object. */
function byteFilterUndone(
  bytes: Uint8Array,
  name: string,
  earlyChange: number | undefined,
  limit: number,
): Uint8Array {
  const dict = PDFDict.withContext(EMPTY_CONTEXT);
  dict.set(PDFName.of('Filter'), PDFName.of(name));
  if (earlyChange !== undefined) {
    const params = PDFDict.withContext(EMPTY_CONTEXT);
    params.set(PDFName.of('EarlyChange'), PDFNumber.of(earlyChange));
    dict.set(PDFName.of('DecodeParms'), params);
  }
  const stream = decodePDFRawStream(PDFRawStream.of(dict, bytes));
  // In pieces, because LZW can grow a thousandfold.
  for (let total = 0; ; ) {
    const { length } = stream.getBytes(CHUNK_BYTES);
    if (length === 0) break;
    total += length;
    if (total > limit) throw problemUnpacked(limit);
  }
  stream.reset();
  return stream.decode();
}

/**
 * Reads the samples of a picture row by row, so that a picture of any size takes the memory of one row. Predictors are
 * undone here, and Flate by the host's own zlib; the cut uses other code for both.
 */
import type { PDFDict, PDFStream } from 'pdf-lib';
import { colorSpaceFrom, imageColorSpace } from '../../pdf/content/color-space.ts';
import { boolOf, numberOf } from '../../pdf/file/dict-values.ts';
import type { StreamFilter } from '../../pdf/file/filters.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { isPlainJpeg2000 } from '../../pdf/images/jpeg2000-space.ts';
import { jpegMeanRows } from '../../preview/jpeg-mean-rows.ts';

/** Undoes the codings of samples. */
export interface SampleCodecs {
  inflate(data: AsyncIterable<Uint8Array>): AsyncIterable<Uint8Array>;
  /** All samples of JPEG 2000 data, as decoded. */
  decodeJpeg2000(data: Uint8Array, channels: number): Promise<Uint8Array>;
}

export interface SampleRows {
  /** In a JPEG each block of 8 × 8 samples counts as one value: its mean. */
  readonly samplesPerValue: 1 | 8;
  readonly bitsPerPixel: number;
  /** The kind of coding, where it decides whether two pictures can be compared. */
  readonly kind: 'raster' | 'jpeg';
  /** A row is valid until the next is requested. */
  rows(): AsyncGenerator<Uint8Array>;
}

const BYTE_FILTERS = new Set(['LZWDecode', 'RunLengthDecode', 'ASCII85Decode', 'ASCIIHexDecode']);
const MAX_ROW_BYTES = 1 << 26;

/** Undefined where the samples of a coding are not read here; pictures must then decide. */
export async function sampleRows(
  file: PdfFile,
  stream: PDFStream,
  codecs: SampleCodecs,
): Promise<SampleRows | undefined> {
  const filters = (await file.streamFilters(stream)).filter(({ name }) => name !== 'Crypt');
  const last = filters.at(-1);
  if (last?.name === 'DCTDecode') {
    if (filters.length > 1) return undefined;
    const transform = numberOf(await file.entry(last.params, 'ColorTransform'));
    return {
      kind: 'jpeg',
      samplesPerValue: 8,
      bitsPerPixel: 0,
      rows: () => jpegMeanRows(file.streamChunks(stream), transform),
    };
  }
  const layout = await rowLayout(stream.dict, file);
  if (!layout) return undefined;
  if (last?.name === 'JPXDecode') return await jpeg2000Rows(file, stream, filters, layout, codecs);
  const predictor = await predictorOf(last, layout, file);
  if (!predictor) return undefined;
  const bytes = unpackedBytes(file, stream, filters, codecs);
  if (!bytes) return undefined;
  const { bitsPerPixel } = layout;
  return {
    kind: 'raster',
    samplesPerValue: 1,
    bitsPerPixel,
    rows: () => rasterRows(bytes(), layout, predictor),
  };
}

const HEAD_BYTES = 1 << 16;

/** For pictures of eight bits whose samples are shown exactly as coded. */
async function jpeg2000Rows(
  file: PdfFile,
  stream: PDFStream,
  filters: readonly StreamFilter[],
  layout: RowLayout,
  { decodeJpeg2000 }: SampleCodecs,
): Promise<SampleRows | undefined> {
  const { width, components: channels } = layout;
  const height = numberOf(await file.entry(stream.dict, 'Height')) ?? 0;
  const head = (await file.streamChunks(stream, HEAD_BYTES).next()).value ?? new Uint8Array();
  if (filters.length > 1 || !isPlainJpeg2000(head, { width, height, channels })) return undefined;
  const rowBytes = width * channels;
  return {
    kind: 'raster',
    samplesPerValue: 1,
    bitsPerPixel: 8 * channels,
    rows: async function* () {
      const samples = await decodeJpeg2000(await file.streamBytes(stream), channels);
      for (let at = 0; at + rowBytes <= samples.length; at += rowBytes)
        yield samples.subarray(at, at + rowBytes);
    },
  };
}

interface RowLayout {
  readonly width: number;
  readonly bitsPerComponent: number;
  readonly components: number;
  readonly bitsPerPixel: number;
  readonly rowBytes: number;
}

async function rowLayout(dict: PDFDict, file: PdfFile): Promise<RowLayout | undefined> {
  const width = numberOf(await file.entry(dict, 'Width')) ?? 0;
  const isStencil = boolOf(await file.entry(dict, 'ImageMask')) === true;
  const bitsPerComponent = isStencil ? 1 : (numberOf(await file.entry(dict, 'BitsPerComponent')) ?? 8);
  const components = isStencil ? 1 : (await colorSpaceFrom(imageColorSpace(dict), file)).components;
  const bitsPerPixel = bitsPerComponent * components;
  const rowBytes = Math.ceil((bitsPerPixel * width) / 8);
  if (![1, 2, 4, 8, 16].includes(bitsPerComponent) || !(rowBytes >= 1 && rowBytes <= MAX_ROW_BYTES))
    return undefined;
  return { width, bitsPerComponent, components, bitsPerPixel, rowBytes };
}

type Predictor = 'none' | 'tiff' | 'png';

async function predictorOf(
  filter: StreamFilter | undefined,
  layout: RowLayout,
  file: PdfFile,
): Promise<Predictor | undefined> {
  const param = async (key: string, otherwise: number) =>
    numberOf(await file.entry(filter?.params, key)) ?? otherwise;
  const predictor = await param('Predictor', 1);
  if (predictor <= 1 || !(filter?.name === 'FlateDecode' || filter?.name === 'LZWDecode')) return 'none';
  const isSame =
    (await param('Columns', 1)) === layout.width &&
    (await param('Colors', 1)) === layout.components &&
    (await param('BitsPerComponent', 8)) === layout.bitsPerComponent;
  if (!isSame || (predictor === 2 && layout.bitsPerComponent !== 8)) return undefined;
  return predictor === 2 ? 'tiff' : 'png';
}

/** Rare filters are undone in one step; data packed only by Flate is never held whole. */
function unpackedBytes(
  file: PdfFile,
  stream: PDFStream,
  filters: readonly StreamFilter[],
  { inflate }: SampleCodecs,
): (() => AsyncIterable<Uint8Array>) | undefined {
  if (filters.length === 0) return () => file.streamChunks(stream);
  if (filters.length === 1 && filters[0]!.name === 'FlateDecode')
    return () => inflate(file.streamChunks(stream));
  // The decoder of these filters undoes predictors too, so data with a predictor is left to pictures.
  const isSimple = filters.every(({ name, params }) => BYTE_FILTERS.has(name) && !params);
  if (!isSimple) return undefined;
  return async function* () {
    yield (await file.streamDecoded(stream)).bytes;
  };
}

async function* rasterRows(
  bytes: AsyncIterable<Uint8Array>,
  { rowBytes, bitsPerPixel, components }: RowLayout,
  predictor: Predictor,
): AsyncGenerator<Uint8Array> {
  const stride = predictor === 'png' ? rowBytes + 1 : rowBytes;
  const pixel = Math.max(1, bitsPerPixel >> 3);
  const partial = new Uint8Array(stride);
  let held = 0;
  let row = new Uint8Array(rowBytes);
  let above = new Uint8Array(rowBytes);
  const undone = (stored: Uint8Array): Uint8Array => {
    if (predictor === 'none') return stored;
    [row, above] = [above, row];
    if (predictor === 'png') undoPng(stored[0]!, stored, above, pixel, row);
    else undoTiff(stored, components, row);
    return row;
  };
  for await (const chunk of bytes) {
    let at = 0;
    if (held > 0) {
      at = Math.min(stride - held, chunk.length);
      partial.set(chunk.subarray(0, at), held);
      held += at;
      if (held < stride) continue;
      held = 0;
      yield undone(partial);
    }
    for (; at + stride <= chunk.length; at += stride) yield undone(chunk.subarray(at, at + stride));
    partial.set(chunk.subarray(at));
    held = chunk.length - at;
  }
}

/** Undoes a PNG filter, RFC 2083, 6; `stored` begins with the filter byte. */
function undoPng(
  filter: number,
  stored: Uint8Array,
  above: Uint8Array,
  pixel: number,
  row: Uint8Array,
): void {
  const { length } = row;
  switch (filter) {
    case 1:
      for (let i = 0; i < pixel && i < length; i++) row[i] = stored[i + 1]!;
      for (let i = pixel; i < length; i++) row[i] = stored[i + 1]! + row[i - pixel]!;
      return;
    case 2:
      row.set(stored.subarray(1, length + 1));
      addAbove(row, above);
      return;
    case 3:
      for (let i = 0; i < length; i++)
        row[i] = stored[i + 1]! + (((i < pixel ? 0 : row[i - pixel]!) + above[i]!) >> 1);
      return;
    case 4:
      for (let i = 0; i < pixel && i < length; i++) row[i] = stored[i + 1]! + above[i]!;
      for (let i = pixel; i < length; i++) {
        const a = row[i - pixel]!;
        const b = above[i]!;
        const c = above[i - pixel]!;
        const p = a + b - c;
        const toA = p > a ? p - a : a - p;
        const toB = p > b ? p - b : b - p;
        const toC = p > c ? p - c : c - p;
        row[i] = stored[i + 1]! + (toA <= toB && toA <= toC ? a : toB <= toC ? b : c);
      }
      return;
    default:
      for (let i = 0; i < length; i++) row[i] = stored[i + 1]!;
  }
}

/** Both arrays begin at the start of their buffers. Adds alternate bytes of a word at once, to leave room for carries. */
function addAbove(row: Uint8Array, above: Uint8Array): void {
  const words = row.length >> 2;
  const sums = new Int32Array(row.buffer, 0, words);
  const added = new Int32Array(above.buffer, 0, words);
  for (let i = 0; i < words; i++) {
    const a = sums[i]!;
    const b = added[i]!;
    const even = (a & EVEN) + (b & EVEN);
    const odd = ((a >>> 8) & EVEN) + ((b >>> 8) & EVEN);
    sums[i] = (even & EVEN) | ((odd & EVEN) << 8);
  }
  for (let i = 4 * words; i < row.length; i++) row[i] = row[i]! + above[i]!;
}

const EVEN = 0x00ff00ff;

function undoTiff(stored: Uint8Array, components: number, row: Uint8Array): void {
  for (let i = 0; i < row.length; i++) row[i] = stored[i]! + (i < components ? 0 : row[i - components]!);
}

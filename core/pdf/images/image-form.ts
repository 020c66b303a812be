import { type Result, resultOk, resultProblem } from '../../measure/result.ts';
import { decodedThrough, type FlateCodec } from '../file/byte-stream.ts';
import { ImageFault, type ImageProblem, problemFromError } from './image-problem.ts';
import type { JpegFrame } from './jpeg-frame.ts';
import { jpegFrameFromHead } from './jpeg-markers.ts';
import { isPlainJpeg2000 } from './jpeg2000-space.ts';
import { Ascii85Decoder, AsciiHexDecoder } from './raster-ascii.ts';
import type { RasterForm } from './raster-crop.ts';
import { LzwDecoder } from './raster-lzw.ts';
import { rowBytes } from './raster-predictor.ts';
import { RunLengthDecoder } from './raster-run-length.ts';

export type FilterParms = Readonly<Record<string, number | boolean>>;

/** One stage of the coding of a stream, under its full name (ISO 32000-1, Table 6). */
export interface ImageFilter {
  readonly name: string;
  readonly parms: FilterParms;
}

/** The entries of an image XObject's dictionary that cropping needs (ISO 32000-1, Table 89). */
export interface ImageDescription {
  readonly width: number;
  readonly height: number;
  /** 1 for an image mask. Not used for DCT. */
  readonly bitsPerComponent: number;
  /** Components of the color space: 1 for Indexed and for image masks. */
  readonly components: number;
  /** Whether the dictionary maps samples to other values or gives some of them opacity. Used for JPEG 2000 only. */
  readonly isRecoded?: boolean;
  /** In the order of decoding. */
  readonly filters: readonly ImageFilter[];
  /** Length of the stream as stored, if known: it saves memory. */
  readonly storedBytes?: number;
}

/** How the picture itself is coded, inside the `outer` filters, which only pack bytes. */
export type ImageForm = { readonly image: ImageDescription; readonly outer: readonly ImageFilter[] } & (
  | { readonly kind: 'jpeg'; readonly frame: JpegFrame; readonly parms: FilterParms }
  | { readonly kind: 'jpeg2000'; readonly raster: RasterForm }
  | { readonly kind: 'raster'; readonly raster: RasterForm; readonly isFlate: boolean }
);

const BYTE_FILTERS = new Set([
  'FlateDecode',
  'LZWDecode',
  'RunLengthDecode',
  'ASCII85Decode',
  'ASCIIHexDecode',
  'Crypt',
]);

/**
 * Bilevel codings stay whole. An eight-panel side of 24,000 × 6,000 pixels of line art grows by only 3 MB when each
 * panel holds all of it.
 */
const BILEVEL_CODINGS = new Set(['JBIG2Decode', 'CCITTFaxDecode']);

/** ISO 32000-1, Table C.1: colorants of a DeviceN space. */
const MAX_COMPONENTS = 32;
/** Keeps bit positions within 31 bits, and memory for rows small compared with the limit for the whole job. */
const MAX_ROW_BYTES = 1 << 25;

/**
 * Finds out whether and how an image can be cropped. `data` are the stored bytes of its stream, decrypted. Only the
 * head of a JPEG is read; of other images nothing is read.
 */
export async function imageForm(
  image: ImageDescription,
  data: AsyncIterable<Uint8Array>,
  flate: FlateCodec,
): Promise<Result<ImageForm, ImageProblem>> {
  try {
    return resultOk(await formFound(image, data, flate));
  } catch (error) {
    return resultProblem(problemFromError(error));
  }
}

async function formFound(
  image: ImageDescription,
  data: AsyncIterable<Uint8Array>,
  flate: FlateCodec,
): Promise<ImageForm> {
  // The host has already decrypted the data (ISO 32000-1, 7.4.10).
  const filters = image.filters.filter(({ name }) => name !== 'Crypt');
  const last = filters.at(-1);
  const outer = filters.slice(0, -1);
  assertByteFilters(outer);
  if (last?.name === 'JPXDecode') {
    return await jpeg2000Form(image, outer, bytesDecoded(data, outer, flate), flate);
  }
  if (last && BILEVEL_CODINGS.has(last.name)) {
    throw new ImageFault(
      'image-bilevel-coding',
      `The image has one bit per pixel and is packed with ${last.name}: whole it takes little room.`,
    );
  }
  if (last?.name === 'DCTDecode') {
    const frame = await jpegFrame(bytesDecoded(data, outer, flate));
    assertMatches('width', image.width, frame.width);
    assertMatches('height', image.height, frame.height);
    assertMatches('number of components', image.components, frame.components.length);
    return { kind: 'jpeg', image, outer, frame, parms: last.parms };
  }
  assertByteFilters(filters);
  return rasterForm(image, filters);
}

/** Decoded samples are held in memory whole, so their number is limited. */
const MAX_DECODED_SAMPLES = 1 << 28;

async function jpeg2000Form(
  image: ImageDescription,
  outer: readonly ImageFilter[],
  data: AsyncIterable<Uint8Array>,
  { decodeJpeg2000 }: FlateCodec,
): Promise<ImageForm> {
  const { width, height, components: channels } = image;
  const isPlain =
    decodeJpeg2000 !== undefined &&
    image.isRecoded !== true &&
    channels >= 1 &&
    width * height * channels <= MAX_DECODED_SAMPLES &&
    (await isHeadPlain(data, { width, height, channels }));
  if (!isPlain) {
    throw new ImageFault('image-jpeg-2000', 'The image is coded as JPEG 2000 in a way that cannot be cut.');
  }
  const layout = { components: channels, bitsPerComponent: 8, columns: width };
  return { kind: 'jpeg2000', image, outer, raster: { layout, predictor: 'none' } };
}

async function isHeadPlain(
  data: AsyncIterable<Uint8Array>,
  size: Parameters<typeof isPlainJpeg2000>[1],
): Promise<boolean> {
  for await (const head of data) return isPlainJpeg2000(head, size);
  return false;
}

function rasterForm(image: ImageDescription, filters: readonly ImageFilter[]): ImageForm {
  const { bitsPerComponent, components, width } = image;
  if (![1, 2, 4, 8, 16].includes(bitsPerComponent) || !(components >= 1)) {
    throw new ImageFault(
      'image-description-mismatch',
      `The image has ${components} components of ${bitsPerComponent} bits, which PDF does not know.`,
    );
  }
  const layout = { components, bitsPerComponent, columns: width };
  if (components > MAX_COMPONENTS || rowBytes(layout) > MAX_ROW_BYTES) {
    throw new ImageFault(
      'image-description-mismatch',
      `The image states rows of ${width} pixels with ${components} components, which no real picture has.`,
    );
  }
  const last = filters.at(-1);
  const predictor = last ? numberParm(last.parms, 'Predictor', 1) : 1;
  const isPredicted = predictor > 1 && (last?.name === 'FlateDecode' || last?.name === 'LZWDecode');
  if (isPredicted) {
    const parms = last!.parms;
    assertMatches('width', width, numberParm(parms, 'Columns', 1));
    assertMatches('number of components', components, numberParm(parms, 'Colors', 1));
    assertMatches('number of bits per component', bitsPerComponent, numberParm(parms, 'BitsPerComponent', 8));
  }
  if (filters.slice(0, -1).some(({ parms }) => numberParm(parms, 'Predictor', 1) > 1)) {
    throw new ImageFault('image-filter-unknown', 'The image uses a predictor below another filter.');
  }
  return {
    kind: 'raster',
    image,
    outer: filters,
    raster: { layout, predictor: !isPredicted ? 'none' : predictor === 2 ? 'tiff' : 'png' },
    isFlate: last?.name === 'FlateDecode',
  };
}

const numberParm = (parms: FilterParms, key: string, fallback: number): number => {
  const value = parms[key];
  return typeof value === 'number' ? value : fallback;
};

function assertByteFilters(filters: readonly ImageFilter[]): void {
  const unknown = filters.find(({ name }) => !BYTE_FILTERS.has(name));
  if (unknown) {
    throw new ImageFault(
      'image-filter-unknown',
      `The image is packed with “${unknown.name}” in a place unknown to PDF.`,
    );
  }
}

/** Where dictionary and data disagree, readers show different pictures, so nothing may be changed. */
function assertMatches(what: string, stated: number, actual: number): void {
  if (stated === actual) return;
  throw new ImageFault(
    'image-description-mismatch',
    `The dictionary of the image states a ${what} of ${stated}, its data have ${actual}.`,
  );
}

async function jpegFrame(data: AsyncIterable<Uint8Array>): Promise<JpegFrame> {
  let head = new Uint8Array(0);
  for await (const chunk of data) {
    const longer = new Uint8Array(head.length + chunk.length);
    longer.set(head);
    longer.set(chunk, head.length);
    head = longer;
    const frame = head.length > 2 ? jpegFrameFromHead(head) : undefined;
    if (frame) return frame;
  }
  throw new ImageFault('image-corrupt', 'The JPEG has no picture in it.');
}

/** Undoes byte filters in order. The code that reads rows undoes predictors. */
export function bytesDecoded(
  data: AsyncIterable<Uint8Array>,
  filters: readonly ImageFilter[],
  flate: FlateCodec,
): AsyncIterable<Uint8Array> {
  return filters.reduce((bytes, { name, parms }) => {
    switch (name) {
      case 'FlateDecode':
        return flate.inflate(bytes);
      case 'LZWDecode':
        return decodedThrough(new LzwDecoder(numberParm(parms, 'EarlyChange', 1)), bytes);
      case 'RunLengthDecode':
        return decodedThrough(new RunLengthDecoder(), bytes);
      case 'ASCII85Decode':
        return decodedThrough(new Ascii85Decoder(), bytes);
      case 'ASCIIHexDecode':
        return decodedThrough(new AsciiHexDecoder(), bytes);
      default:
        throw new Error(`${name} is no filter of bytes.`);
    }
  }, data);
}

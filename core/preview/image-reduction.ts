/** Makes one image smaller: its new dictionary, and its samples. */
import { PDFArray, type PDFContext, PDFDict, PDFName, type PDFStream } from 'pdf-lib';
import { description } from '../cut/image-crops.ts';
import { colorSpaceFrom, imageColorSpace } from '../pdf/content/color-space.ts';
import type { ImageNeed } from '../pdf/content/image-needs.ts';
import type { ByteSink, FlateCodec } from '../pdf/file/byte-stream.ts';
import { boolOf } from '../pdf/file/dict-values.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { bytesDecoded, type ImageForm, imageForm } from '../pdf/images/image-form.ts';
import { corrupt, ImageFault } from '../pdf/images/image-problem.ts';
import type { PixelSize } from '../pdf/images/pixel-window.ts';
import type { RowLayout } from '../pdf/images/raster-predictor.ts';
import { RowReader } from '../pdf/images/raster-rows.ts';
import { jpegMeanRows } from './jpeg-mean-rows.ts';
import { RasterReduction, type RasterToReduce, reducedRowBytes } from './raster-reduction.ts';
import { isJpegReducible, type ReducedDetail, rasterReducedSize } from './reduced-size.ts';

export interface ImageReduction {
  readonly stream: PDFStream;
  readonly form: ImageForm & { readonly kind: 'raster' | 'jpeg' };
  readonly source: RasterToReduce;
  readonly size: PixelSize;
  readonly kind: 'mean' | 'pick';
}

/** A JPEG this large must be reduced to its means, however coarse, because drawing it takes seconds each time. */
const LARGE_JPEG_BYTES = 32 << 20;
/** Filters that are undone in JavaScript, byte by byte. */
const SLOW_FILTERS = new Set(['LZWDecode', 'ASCII85Decode', 'ASCIIHexDecode']);
/** Enough for the head of a JPEG. */
const HEAD_CHUNK_BYTES = 1 << 16;
/** Other versions of the whole picture, its filters, and entries that no longer apply. */
const LEFT_OUT = new Set(
  ['Length', 'Filter', 'DecodeParms', 'F', 'DP', 'Alternates', 'OPI', 'Metadata', 'ID'].map((key) =>
    PDFName.of(key),
  ),
);

/** Undefined where the image must stay whole: it is not large, or its packing cannot be read in rows. */
export async function imageReduction(
  file: PdfFile,
  stream: PDFStream,
  need: ImageNeed,
  detail: ReducedDetail,
  flate: FlateCodec,
): Promise<ImageReduction | undefined> {
  const { storedBytes, ...image } = await description(stream, undefined, file);
  if (image.width * image.height < detail.leastPixels) return undefined;
  const found = await imageForm(image, file.streamChunks(stream, HEAD_CHUNK_BYTES), flate);
  if (!found.ok || found.value.kind === 'jpeg2000') return undefined;
  const form = found.value;
  if (detail.leavesSlow && form.outer.some(({ name }) => SLOW_FILTERS.has(name))) return undefined;
  const isNamed = await hasNamedValues(file, stream.dict);
  if (form.kind === 'jpeg') {
    const isEnough = isJpegReducible(image, need, detail) || storedBytes > LARGE_JPEG_BYTES;
    if (!isEnough || isNamed) return undefined;
    const [across, down] = [image.width / 8, image.height / 8];
    const layout = {
      components: form.frame.components.length,
      bitsPerComponent: 8,
      columns: Math.ceil(across),
    };
    const most = { width: Math.max(1, Math.floor(across)), height: Math.max(1, Math.floor(down)) };
    const size = rasterReducedSize(most, need, detail, false) ?? most;
    const source = { layout, rows: Math.ceil(down), extent: { width: across, height: down } };
    return { stream, form, source, size, kind: 'mean' };
  }
  const { layout } = form.raster;
  const size = rasterReducedSize(image, need, detail, isNamed && layout.bitsPerComponent === 1);
  const source = { layout, rows: image.height, extent: { width: image.width, height: image.height } };
  return size && { stream, form, source, size, kind: isNamed ? 'pick' : 'mean' };
}

/** Whether samples are indexes of a table, a stencil, or color keys that do not show: these have no mean. */
async function hasNamedValues(file: PdfFile, dict: PDFDict): Promise<boolean> {
  if (boolOf(await file.entry(dict, 'ImageMask')) === true) return true;
  if ((await file.entry(dict, 'Mask')) instanceof PDFArray) return true;
  return (await colorSpaceFrom(imageColorSpace(dict), file)).family === 'Indexed';
}

export const reducedBytes = ({ source, size, kind }: ImageReduction): number =>
  reducedRowBytes(source.layout, size.width, kind) * size.height;

/** Pixels left along an edge for each pixel of the picture; infinite where none were removed. */
export function sharpness({ form, source, size }: ImageReduction, { acrossPx, downPx }: ImageNeed): number {
  const share = (left: number, all: number, room: number) =>
    form.kind === 'raster' && left >= all ? Number.POSITIVE_INFINITY : left / room;
  return Math.min(
    share(size.width, source.extent.width, acrossPx),
    share(size.height, source.extent.height, downPx),
  );
}

/** The dictionary of the reduced image, unpacked. `context` is that of the artwork. */
export function reducedDict({ stream, size, kind }: ImageReduction, context: PDFContext): PDFDict {
  const dict = PDFDict.withContext(context);
  for (const [key, value] of stream.dict.entries()) if (!LEFT_OUT.has(key)) dict.set(key, value);
  dict.set(PDFName.of('Width'), context.obj(size.width));
  dict.set(PDFName.of('Height'), context.obj(size.height));
  if (kind === 'mean') dict.set(PDFName.of('BitsPerComponent'), context.obj(8));
  return dict;
}

export interface ReducingTools {
  readonly flate: FlateCodec;
  /** Pictures that several copies of one document share. */
  readonly images?: ReducedImages;
  /**
   * Called and awaited every few milliseconds of work, during the walk through the drawings and while pictures are
   * reduced and written; it may throw to stop.
   */
  pause?(work: 'content' | 'pictures'): Promise<void> | void;
}

/**
 * Writes the samples and ends the sink. Throws `ImageFault` where the data are damaged or end early, unless
 * `keepsDamaged` is set: missing parts are then white, or without ink.
 */
export async function reduceImage(
  file: PdfFile,
  reduction: ImageReduction,
  sink: ByteSink,
  { keepsDamaged, maxTaps }: Pick<ReducedDetail, 'keepsDamaged' | 'maxTaps'>,
  { flate, images, pause }: ReducingTools,
): Promise<void> {
  const { form, source, size, kind } = reduction;
  const known = images?.samples(reduction);
  if (known) {
    await sink.write(known);
    return await sink.end();
  }
  const kept = images?.roomFor(reduction);
  const data = bytesDecoded(file.streamChunks(reduction.stream), form.outer, flate);
  const raster = new RasterReduction(source, size, kind, maxTaps);
  let missing = reducedBytes(reduction);
  const handOn = async (bytes: Uint8Array): Promise<void> => {
    kept?.set(bytes, kept.length - missing);
    missing -= bytes.length;
    await sink.write(bytes);
  };
  try {
    for await (const _ of form.kind === 'jpeg'
      ? jpegRows(form, data, raster)
      : rasterRows(form, data, raster)) {
      if (raster.output.length >= BAND_BYTES || raster.isDone) {
        await handOn(raster.output.view());
        raster.output.clear();
      }
      await pause?.('pictures');
      if (raster.isDone) break;
    }
    if (!raster.isDone) corrupt('The image data end early.');
  } catch (error) {
    if (!(keepsDamaged && error instanceof ImageFault)) throw error;
    await handOn(raster.output.view());
    const blank = new Uint8Array(BAND_BYTES).fill(source.layout.components < INKS ? 255 : 0);
    while (missing > 0) await handOn(blank.subarray(0, missing));
  }
  if (kept) images?.keep(reduction, kept);
  await sink.end();
}

/** Limit for all kept pictures together; pictures that exceed it are not kept. */
const MAX_KEPT_BYTES = 32 << 20;

/** Reduced pictures of one document, for pages and copies that show them again at the same size. */
export class ReducedImages {
  readonly #kept = new Map<PDFStream, { readonly size: PixelSize; readonly samples: Uint8Array }>();
  #keptBytes = 0;

  samples({ stream, size }: ImageReduction): Uint8Array | undefined {
    const kept = this.#kept.get(stream);
    return kept?.size.width === size.width && kept.size.height === size.height ? kept.samples : undefined;
  }

  /** Memory to keep the samples in; undefined where they are kept already or would exceed the limit. */
  roomFor(reduction: ImageReduction): Uint8Array | undefined {
    const bytes = reducedBytes(reduction);
    const isKept = this.#kept.has(reduction.stream) || this.#keptBytes + bytes > MAX_KEPT_BYTES;
    return isKept ? undefined : new Uint8Array(bytes);
  }

  keep({ stream, size }: ImageReduction, samples: Uint8Array): void {
    this.#kept.set(stream, { size, samples });
    this.#keptBytes += samples.length;
  }
}

const INKS = 4;
/** Bytes of the source between two checks for a cancel, and bytes of the result that are collected. */
const BAND_BYTES = 1 << 16;

async function* rasterRows(
  { raster: { layout, predictor } }: { raster: { layout: RowLayout; predictor: 'none' | 'tiff' | 'png' } },
  data: AsyncIterable<Uint8Array>,
  raster: RasterReduction,
): AsyncGenerator<void> {
  const reader = new RowReader(layout, predictor);
  for await (const chunk of data) {
    reader.push(chunk, ({ samples }) => {
      raster.push(samples);
      return !raster.isDone;
    });
    yield;
  }
}

async function* jpegRows(
  { parms }: { parms: Readonly<Record<string, number | boolean>> },
  data: AsyncIterable<Uint8Array>,
  raster: RasterReduction,
): AsyncGenerator<void> {
  const { ColorTransform: transform } = parms;
  for await (const samples of jpegMeanRows(data, typeof transform === 'number' ? transform : undefined)) {
    raster.push(samples);
    yield;
  }
}

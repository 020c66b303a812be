/**
 * Turns pictures of process colors into pictures of inks. Their samples are selected here, because a tint transform for
 * every pixel takes a renderer seconds. They are reduced by averaging, which keeps the mean of every area.
 */
import type { PDFDict, PDFStream } from 'pdf-lib';
import type { ImageNeed } from '../pdf/content/image-needs.ts';
import type { FlateCodec } from '../pdf/file/byte-stream.ts';
import { arrayOf, boolOf } from '../pdf/file/dict-values.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { isPdfProblem } from '../pdf/file/pdf-problem.ts';
import { imageFilters } from '../pdf/images/image-filters.ts';
import { bytesDecoded, imageForm } from '../pdf/images/image-form.ts';
import { ImageFault } from '../pdf/images/image-problem.ts';
import { RowReader } from '../pdf/images/raster-rows.ts';
import { type PictureSamples, pictureForm, pictureSamples } from './picture-samples.ts';
import {
  type AveragedForm,
  averagingFactor,
  canAverage,
  type PickedImage,
  RowAverages,
} from './row-averages.ts';

/** Above this size the means of a JPEG's blocks are used: drawing it pixel by pixel takes a renderer minutes. */
const MAX_JPEG_PIXELS = 16_000_000;
/** Large enough for the header of a JPEG. */
const HEAD_CHUNK_BYTES = 1 << 16;
const INKS = 4;

export interface InkImageForm extends AveragedForm {
  readonly bitsPerSample: number;
}

/**
 * A picture whose samples are light or four inks. Undefined where its filter is not supported here, or it is masked by
 * colors.
 */
export async function imageOfInks(
  file: PdfFile,
  dict: PDFDict,
  components = INKS,
): Promise<InkImageForm | undefined> {
  const form = canAverage(components) ? await pictureForm(file, dict, components) : undefined;
  if (form === undefined || form.bitsPerSample < 8) return undefined;
  if (arrayOf(await file.entry(dict, 'Mask'))) return undefined;
  return { ...form, isInk: components === INKS };
}

/** Limit for pictures that several pages or passes show; each is 16 MB at most. */
const MAX_KEPT_BYTES = 128 << 20;

/** Unpacks each picture once for all pages and passes. */
export class InkImages {
  readonly #kept = new Map<PDFStream, { readonly factor: number; readonly image: PickedImage | undefined }>();
  #keptBytes = 0;

  /**
   * `need`: resolution that the drawing needs. Undefined where the samples cannot be read: a smaller JPEG, a damaged
   * picture.
   */
  async picked(
    file: PdfFile,
    stream: PDFStream,
    image: InkImageForm,
    { parts, need }: { readonly parts: readonly number[]; readonly need: ImageNeed | undefined },
    tools: AveragingTools,
  ): Promise<PickedImage | undefined> {
    const factor = Math.max(averagingFactor(image), need ? factorFor(image, need) : 1);
    const known = this.#kept.get(stream);
    const all =
      known && known.factor <= factor
        ? known.image
        : this.#keep(stream, factor, await averageImage(file, stream, image, factor, tools));
    return all && partsOf(all, image.components, parts);
  }

  #keep(stream: PDFStream, factor: number, image: PickedImage | undefined): PickedImage | undefined {
    this.#keptBytes -= this.#kept.get(stream)?.image?.samples.length ?? 0;
    this.#kept.set(stream, { factor, image });
    this.#keptBytes += image?.samples.length ?? 0;
    for (const [oldest, old] of this.#kept) {
      if (this.#keptBytes <= MAX_KEPT_BYTES || oldest === stream) break;
      this.#kept.delete(oldest);
      this.#keptBytes -= old.image?.samples.length ?? 0;
    }
    return image;
  }
}

/** Pixels along an edge that are averaged into one while at least one pixel per drawn pixel remains. */
const factorFor = ({ widthPx, heightPx }: InkImageForm, { acrossPx, downPx }: ImageNeed): number =>
  Math.max(1, Math.floor(Math.min(widthPx / acrossPx, heightPx / downPx)));

function partsOf(image: PickedImage, components: number, parts: readonly number[]): PickedImage {
  const { widthPx, heightPx, samples } = image;
  const count = parts.length;
  if (count === components && parts.every((part, at) => part === at)) return image;
  const picked = new Uint8Array(widthPx * heightPx * count);
  for (const [at, part] of parts.entries()) {
    for (let to = at, from = part; to < picked.length; to += count, from += components)
      picked[to] = samples[from]!;
  }
  return { widthPx, heightPx, samples: picked };
}

export interface AveragingTools {
  readonly flate: FlateCodec;
  /** Awaited now and then; it may throw to stop. */
  pause?(): Promise<void>;
}

/** Averages all components. */
async function averageImage(
  file: PdfFile,
  stream: PDFStream,
  image: InkImageForm,
  factor: number,
  tools: AveragingTools,
): Promise<PickedImage | undefined> {
  const passing = await averageRows(file, stream, image, factor, tools);
  if (passing) return passing;
  const takesMeans = image.isInk && image.widthPx * image.heightPx > MAX_JPEG_PIXELS;
  const read = await pictureSamples(file, stream, image, takesMeans);
  return read && averaged(read, image);
}

/** The same for a picture that is never held in memory; undefined where it cannot be read by rows. */
async function averageRows(
  file: PdfFile,
  stream: PDFStream,
  image: InkImageForm,
  factor: number,
  { flate, pause }: AveragingTools,
): Promise<PickedImage | undefined> {
  const described = {
    width: image.widthPx,
    height: image.heightPx,
    bitsPerComponent: image.bitsPerSample,
    components: image.components,
    filters: await imageFilters(stream, file),
  };
  const form = await imageForm(described, file.streamChunks(stream, HEAD_CHUNK_BYTES), flate);
  if (!form.ok || form.value.kind !== 'raster') return undefined;
  const { layout, predictor } = form.value.raster;
  const averages = new RowAverages(image, factor);
  const reader = new RowReader(layout, predictor);
  const upper = new Uint8Array(image.widthPx * image.components);
  const ofEight = (samples: Uint8Array) => (image.bitsPerSample === 8 ? samples : upperBytes(samples, upper));
  try {
    for await (const chunk of bytesDecoded(file.streamChunks(stream), form.value.outer, flate)) {
      reader.push(chunk, ({ samples }) => {
        averages.push(ofEight(samples));
        return !averages.isDone;
      });
      if (averages.isDone) return averages.image();
      await pause?.();
    }
  } catch (error) {
    if (!(error instanceof ImageFault || isPdfProblem(error))) throw error;
  }
  return undefined;
}

/** Of 16-bit samples, keeps the upper eight bits. */
function upperBytes(samples: Uint8Array, upper: Uint8Array): Uint8Array {
  for (let at = 0; at < upper.length; at += 1) upper[at] = samples[2 * at]!;
  return upper;
}

function averaged({ widthPx, heightPx, samples }: PictureSamples, image: InkImageForm): PickedImage {
  const averages = new RowAverages({ ...image, widthPx, heightPx }, averagingFactor({ widthPx, heightPx }));
  const rowBytes = widthPx * image.components;
  for (let row = 0; row < heightPx; row += 1) averages.push(samples, row * rowBytes);
  return averages.image();
}

/** Whether a picture is masked by a stencil or by its colors. */
export const isStencil = async (file: PdfFile, dict: PDFDict): Promise<boolean> =>
  boolOf(await file.entry(dict, 'ImageMask')) === true;

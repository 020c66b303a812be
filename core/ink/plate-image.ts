/**
 * Pictures of process colors as pictures of inks. Their samples are picked here, because asking a tint transform for
 * every pixel takes a renderer seconds; and made fewer by averages, which leave the mean of every area as it was.
 */
import type { PDFDict, PDFStream } from 'pdf-lib';
import type { FlateCodec } from '../pdf/file/byte-stream.ts';
import { arrayOf, boolOf } from '../pdf/file/dict-values.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { isPdfProblem } from '../pdf/file/pdf-problem.ts';
import { imageFilters } from '../pdf/images/image-filters.ts';
import { bytesDecoded, imageForm } from '../pdf/images/image-form.ts';
import { ImageFault } from '../pdf/images/image-problem.ts';
import { RowReader } from '../pdf/images/raster-rows.ts';
import { type PictureForm, type PictureSamples, pictureForm, pictureSamples } from './picture-samples.ts';
import { averagingFactor, INKS, type PickedImage, RowAverages } from './row-averages.ts';

/**
 * A larger picture is averaged while it is unpacked and never held; a larger JPEG is taken by the means of its blocks: drawn
 * pixel by pixel it takes a renderer minutes.
 */
const MAX_HELD_PIXELS = 16_000_000;
/** Enough for the head of a JPEG. */
const HEAD_CHUNK_BYTES = 1 << 16;
/** Undefined where an image of four inks is packed in a way that cannot be undone here, or masked by its colors. */
export async function imageOfInks(file: PdfFile, dict: PDFDict): Promise<PictureForm | undefined> {
  const form = await pictureForm(file, dict, INKS);
  if (form === undefined || form.bitsPerSample < 8) return undefined;
  return arrayOf(await file.entry(dict, 'Mask')) ? undefined : form;
}

/** Of pictures that several pages or passes show; each is 16 MB at most. */
const MAX_KEPT_BYTES = 128 << 20;

/** Unpacks each picture once for all pages and passes that show it. */
export class InkImages {
  readonly #kept = new Map<PDFStream, PickedImage | undefined>();
  #keptBytes = 0;

  /** Undefined where the data are not there as samples: a smaller JPEG, a damaged picture. */
  async picked(
    file: PdfFile,
    stream: PDFStream,
    image: PictureForm,
    inks: readonly number[],
    tools: AveragingTools,
  ): Promise<PickedImage | undefined> {
    if (!this.#kept.has(stream)) {
      this.#keep(stream, await averageImage(file, stream, image, tools));
    }
    const all = this.#kept.get(stream);
    return all && inksOf(all, inks);
  }

  #keep(stream: PDFStream, image: PickedImage | undefined): void {
    this.#kept.set(stream, image);
    this.#keptBytes += image?.samples.length ?? 0;
    for (const [oldest, old] of this.#kept) {
      if (this.#keptBytes <= MAX_KEPT_BYTES || oldest === stream) break;
      this.#kept.delete(oldest);
      this.#keptBytes -= old?.samples.length ?? 0;
    }
  }
}

function inksOf({ widthPx, heightPx, samples }: PickedImage, inks: readonly number[]): PickedImage {
  const count = inks.length;
  const picked = new Uint8Array(widthPx * heightPx * count);
  for (const [at, ink] of inks.entries()) {
    for (let to = at, from = ink; to < picked.length; to += count, from += INKS) picked[to] = samples[from]!;
  }
  return { widthPx, heightPx, samples: picked };
}

export interface AveragingTools {
  readonly flate: FlateCodec;
  /** Is waited for now and then; it may throw to stop. */
  pause?(): Promise<void>;
}

/** All four inks. */
async function averageImage(
  file: PdfFile,
  stream: PDFStream,
  image: PictureForm,
  tools: AveragingTools,
): Promise<PickedImage | undefined> {
  const isLarge = image.widthPx * image.heightPx > MAX_HELD_PIXELS;
  const passing = isLarge ? await averageRows(file, stream, image, tools) : undefined;
  if (passing) return passing;
  const read = await pictureSamples(file, stream, image, isLarge);
  return read && averaged(read, image);
}

/** The same of a picture that is never held; undefined where it cannot be read in rows. */
async function averageRows(
  file: PdfFile,
  stream: PDFStream,
  image: PictureForm,
  { flate, pause }: AveragingTools,
): Promise<PickedImage | undefined> {
  const described = {
    width: image.widthPx,
    height: image.heightPx,
    bitsPerComponent: image.bitsPerSample,
    components: INKS,
    filters: await imageFilters(stream, file),
  };
  const form = await imageForm(described, file.streamChunks(stream, HEAD_CHUNK_BYTES), flate);
  if (!form.ok || form.value.kind !== 'raster') return undefined;
  const { layout, predictor } = form.value.raster;
  const averages = new RowAverages(image);
  const reader = new RowReader(layout, predictor);
  const upper = new Uint8Array(image.widthPx * INKS);
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

/** Of 16 bits the upper eight are taken. */
function upperBytes(samples: Uint8Array, upper: Uint8Array): Uint8Array {
  for (let at = 0; at < upper.length; at += 1) upper[at] = samples[2 * at]!;
  return upper;
}

function averaged(
  { widthPx, heightPx, samples: bytes }: PictureSamples,
  { decode }: PictureForm,
): PickedImage {
  if (averagingFactor({ widthPx, heightPx }) === 1) {
    const samples = new Uint8ClampedArray(widthPx * heightPx * INKS);
    fillLight(samples, bytes, decode);
    return { widthPx, heightPx, samples: new Uint8Array(samples.buffer) };
  }
  const averages = new RowAverages({ widthPx, heightPx, decode });
  for (let row = 0; row < heightPx; row += 1) averages.push(bytes, row * widthPx * INKS);
  return averages.image();
}

/** Light of each sample by itself. */
function fillLight(light: Uint8ClampedArray, bytes: Uint8Array, decode: PictureForm['decode']): void {
  for (const [ink, [low, high]] of decode.entries()) {
    const lightOf = Uint8ClampedArray.from(
      { length: 256 },
      (_, value) => 255 * (1 - (low + (value / 255) * (high - low))),
    );
    for (let at = ink; at < light.length; at += INKS) light[at] = lightOf[bytes[at]!]!;
  }
}

/** Whether a picture shows through a stencil or by its colors. */
export const isStencil = async (file: PdfFile, dict: PDFDict): Promise<boolean> =>
  boolOf(await file.entry(dict, 'ImageMask')) === true;

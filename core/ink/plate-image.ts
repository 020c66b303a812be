/**
 * Pictures of process colors as pictures of inks. Their samples are picked here, because asking a tint transform for
 * every pixel takes a renderer seconds; and made fewer by averages, which leave the mean of every area as it was.
 */
import type { PDFDict, PDFStream } from 'pdf-lib';
import { arrayOf, boolOf } from '../pdf/file/dict-values.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { type PictureForm, type PictureSamples, pictureForm, pictureSamples } from './picture-samples.ts';

/** More pixels than this show nothing at the resolution of a coverage. */
const MAX_PIXELS = 4_000_000;
/** A larger JPEG is taken by the means of its blocks: drawn pixel by pixel it takes a renderer minutes. */
const MAX_JPEG_PIXELS = 16_000_000;
const INKS = 4;

export interface PickedImage {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Light as DeviceGray or DeviceRGB, 8 bits a sample. */
  readonly samples: Uint8Array;
}

/** Undefined where an image of four inks is packed in a way that cannot be undone here, or masked by its colors. */
export async function imageOfInks(file: PdfFile, dict: PDFDict): Promise<PictureForm | undefined> {
  const form = await pictureForm(file, dict, INKS);
  if (form === undefined || form.bitsPerSample < 8) return undefined;
  return arrayOf(await file.entry(dict, 'Mask')) ? undefined : form;
}

/** Pictures that several pages or passes show; each is 16 MB at most. */
const MAX_KEPT = 8;

/** Unpacks each picture once for all pages and passes that show it. */
export class InkImages {
  readonly #kept = new Map<PDFStream, PickedImage | undefined>();

  /** Undefined where the data are not there as samples: a smaller JPEG, a damaged picture, a huge one. */
  async picked(
    file: PdfFile,
    stream: PDFStream,
    image: PictureForm,
    inks: readonly number[],
  ): Promise<PickedImage | undefined> {
    if (!this.#kept.has(stream)) {
      this.#kept.set(stream, await averageImage(file, stream, image));
      const [oldest] = this.#kept.keys();
      if (this.#kept.size > MAX_KEPT && oldest) this.#kept.delete(oldest);
    }
    const all = this.#kept.get(stream);
    return all && inksOf(all, inks);
  }
}

function inksOf({ widthPx, heightPx, samples }: PickedImage, inks: readonly number[]): PickedImage {
  const picked = new Uint8Array(widthPx * heightPx * inks.length);
  for (const [at, ink] of inks.entries()) {
    for (let to = at, from = ink; to < picked.length; to += inks.length, from += INKS) {
      picked[to] = samples[from]!;
    }
  }
  return { widthPx, heightPx, samples: picked };
}

/** All four inks. */
async function averageImage(
  file: PdfFile,
  stream: PDFStream,
  image: PictureForm,
): Promise<PickedImage | undefined> {
  const isLarge = image.widthPx * image.heightPx > MAX_JPEG_PIXELS;
  const read = await pictureSamples(file, stream, image, isLarge);
  return read && averaged(read, image);
}

function averaged(
  { widthPx, heightPx, samples: bytes }: PictureSamples,
  { decode }: PictureForm,
): PickedImage {
  const factor = Math.max(1, Math.ceil(Math.sqrt((widthPx * heightPx) / MAX_PIXELS)));
  const width = Math.ceil(widthPx / factor);
  const height = Math.ceil(heightPx / factor);
  const samples = new Uint8ClampedArray(width * height * INKS);
  const sums = new Uint32Array(width);
  for (let row = 0; row < height; row += 1) {
    const first = row * factor;
    const last = Math.min(heightPx, first + factor);
    for (const [ink, [low, high]] of decode.entries()) {
      sums.fill(0);
      for (let y = first; y < last; y += 1) {
        let from = y * widthPx * INKS + ink;
        for (let column = 0, x = 0; x < widthPx; column += 1) {
          const end = Math.min(widthPx, x + factor);
          let sum = 0;
          for (; x < end; x += 1, from += INKS) sum += bytes[from]!;
          sums[column]! += sum;
        }
      }
      for (let column = 0; column < width; column += 1) {
        const count = (last - first) * (Math.min(widthPx, (column + 1) * factor) - column * factor);
        const share = low + (sums[column]! / count / 255) * (high - low);
        samples[(row * width + column) * INKS + ink] = 255 * (1 - share);
      }
    }
  }
  return { widthPx: width, heightPx: height, samples: new Uint8Array(samples.buffer) };
}

/** Whether a picture shows through a stencil or by its colors. */
export const isStencil = async (file: PdfFile, dict: PDFDict): Promise<boolean> =>
  boolOf(await file.entry(dict, 'ImageMask')) === true;

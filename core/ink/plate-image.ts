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

/** Of pictures that several pages or passes show; each is 16 MB at most. */
const MAX_KEPT_BYTES = 128 << 20;

/** Unpacks each picture once for all pages and passes that show it. */
export class InkImages {
  readonly #kept = new Map<PDFStream, PickedImage | undefined>();
  #keptBytes = 0;

  /** Undefined where the data are not there as samples: a smaller JPEG, a damaged picture, a huge one. */
  async picked(
    file: PdfFile,
    stream: PDFStream,
    image: PictureForm,
    inks: readonly number[],
  ): Promise<PickedImage | undefined> {
    if (!this.#kept.has(stream)) {
      this.#keep(stream, await averageImage(file, stream, image));
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
  if (factor === 1) {
    fillLight(samples, bytes, decode);
    return { widthPx: width, heightPx: height, samples: new Uint8Array(samples.buffer) };
  }
  const lows = Float64Array.from(decode, ([low]) => low);
  const spans = Float64Array.from(decode, ([low, high]) => high - low);
  const sums = new Uint32Array(width * INKS);
  for (let row = 0; row < height; row += 1) {
    const first = row * factor;
    const last = Math.min(heightPx, first + factor);
    sums.fill(0);
    for (let y = first; y < last; y += 1) {
      addRow(sums, bytes, y * widthPx * INKS, widthPx, factor);
    }
    for (let column = 0, at = 0; column < width; column += 1) {
      const count = (last - first) * (Math.min(widthPx, (column + 1) * factor) - column * factor);
      for (let ink = 0; ink < INKS; ink += 1, at += 1) {
        const share = lows[ink]! + (sums[at]! / count / 255) * spans[ink]!;
        samples[row * width * INKS + at] = 255 * (1 - share);
      }
    }
  }
  return { widthPx: width, heightPx: height, samples: new Uint8Array(samples.buffer) };
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

/** Adds a row's samples, ink by ink, `factor` pixels to a sum: every sample of a picture passes here. */
function addRow(sums: Uint32Array, bytes: Uint8Array, start: number, widthPx: number, factor: number): void {
  let from = start;
  for (let at = 0, x = 0; x < widthPx; at += INKS) {
    const end = Math.min(widthPx, x + factor);
    let a = 0;
    let b = 0;
    let c = 0;
    let d = 0;
    for (; x < end; x += 1, from += INKS) {
      a += bytes[from]!;
      b += bytes[from + 1]!;
      c += bytes[from + 2]!;
      d += bytes[from + 3]!;
    }
    sums[at]! += a;
    sums[at + 1]! += b;
    sums[at + 2]! += c;
    sums[at + 3]! += d;
  }
}

/** Whether a picture shows through a stencil or by its colors. */
export const isStencil = async (file: PdfFile, dict: PDFDict): Promise<boolean> =>
  boolOf(await file.entry(dict, 'ImageMask')) === true;

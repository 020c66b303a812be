/**
 * Pictures of process colours as pictures of inks. Their samples are picked here, because asking a tint transform for
 * every pixel takes a renderer seconds; and made fewer by averages, which leave the mean of every area as it was.
 */
import { type PDFDict, PDFName, type PDFStream } from 'pdf-lib';
import { arrayOf, boolOf, numberOf } from '../file/dict-values.ts';
import type { PdfFile } from '../file/pdf-file.ts';
import { isPdfProblem } from '../file/pdf-problem.ts';
import { jpegBlocks } from './jpeg-blocks.ts';

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

export interface SamplesOfImage {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bytesPerSample: number;
  /** Per ink, the ink at the lowest and at the highest sample. */
  readonly decode: readonly (readonly [number, number])[];
}

/** Undefined where an image of four inks is packed in a way that cannot be undone here, or masked by its colours. */
export async function imageOfInks(file: PdfFile, dict: PDFDict): Promise<SamplesOfImage | undefined> {
  const number = async (key: string, short: string) =>
    numberOf(await file.resolved(dict.get(PDFName.of(key)) ?? dict.get(PDFName.of(short))));
  const widthPx = await number('Width', 'W');
  const heightPx = await number('Height', 'H');
  const bits = await number('BitsPerComponent', 'BPC');
  if (!widthPx || !heightPx || (bits !== 8 && bits !== 16)) return undefined;
  if (arrayOf(await file.entry(dict, 'Mask'))) return undefined;
  const given = arrayOf(await file.entry(dict, 'Decode'))?.asArray() ?? [];
  const decode: [number, number][] = [];
  for (let ink = 0; ink < INKS; ink += 1) {
    const low = numberOf(await file.resolved(given[2 * ink])) ?? 0;
    const high = numberOf(await file.resolved(given[2 * ink + 1])) ?? 1;
    decode.push([low, high]);
  }
  return { widthPx, heightPx, bytesPerSample: bits / 8, decode };
}

/** Undefined where the data are not there as samples: a smaller JPEG, a damaged picture, a huge one. */
export async function imagePicked(
  file: PdfFile,
  stream: PDFStream,
  image: SamplesOfImage,
  inks: readonly number[],
): Promise<PickedImage | undefined> {
  const { widthPx, heightPx, bytesPerSample } = image;
  try {
    const { bytes, remaining } = await file.streamDecoded(stream);
    const isJpeg = remaining.length === 1 && remaining[0]!.name === 'DCTDecode';
    if (isJpeg && widthPx * heightPx > MAX_JPEG_PIXELS) {
      const blocks = jpegBlocks(bytes);
      return blocks && averaged(blocks.samples, { ...image, ...blocks, bytesPerSample: 1 }, inks);
    }
    if (remaining.length > 0 || bytes.length < widthPx * heightPx * INKS * bytesPerSample) return undefined;
    return averaged(bytes, image, inks);
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    return undefined;
  }
}

function averaged(
  bytes: Uint8Array,
  { widthPx, heightPx, bytesPerSample, decode }: SamplesOfImage,
  inks: readonly number[],
): PickedImage {
  const factor = Math.max(1, Math.ceil(Math.sqrt((widthPx * heightPx) / MAX_PIXELS)));
  const width = Math.ceil(widthPx / factor);
  const height = Math.ceil(heightPx / factor);
  const samples = new Uint8Array(width * height * inks.length);
  const sums = new Float64Array(width * inks.length);
  const pixelBytes = INKS * bytesPerSample;
  for (let row = 0; row < height; row += 1) {
    sums.fill(0);
    const last = Math.min(heightPx, (row + 1) * factor);
    for (let y = row * factor; y < last; y += 1) {
      for (const [at, ink] of inks.entries()) {
        let from = y * widthPx * pixelBytes + ink * bytesPerSample;
        for (let x = 0; x < widthPx; x += 1, from += pixelBytes) {
          sums[Math.trunc(x / factor) * inks.length + at]! += bytes[from]!;
        }
      }
    }
    const rows = last - row * factor;
    for (let x = 0; x < width; x += 1) {
      const count = rows * (Math.min(widthPx, (x + 1) * factor) - x * factor);
      for (const [at, ink] of inks.entries()) {
        const [low, high] = decode[ink]!;
        const share = low + (sums[x * inks.length + at]! / count / 255) * (high - low);
        const light = 1 - Math.min(1, Math.max(0, share));
        samples[(row * width + x) * inks.length + at] = Math.round(255 * light);
      }
    }
  }
  return { widthPx: width, heightPx: height, samples };
}

/** Whether a picture shows through a stencil or by its colours. */
export const isStencil = async (file: PdfFile, dict: PDFDict): Promise<boolean> =>
  boolOf(await file.entry(dict, 'ImageMask')) === true;

/** Reads the samples of a picture in any packing, for the ink sums of the checks and the plates of the coverage. */
import { type PDFDict, PDFName, type PDFStream } from 'pdf-lib';
import { arrayOf, numberOf } from '../pdf/file/dict-values.ts';
import type { StreamFilter } from '../pdf/file/filters.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { isPdfProblem } from '../pdf/file/pdf-problem.ts';
import { jpegInkBlocks } from '../pdf/images/jpeg-ink-blocks.ts';

const BITS = [1, 2, 4, 8, 16];

/** What the dictionary says of the samples (ISO 32000-1, Table 89). */
export interface PictureForm {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Samples per pixel; a palette has one. */
  readonly components: number;
  readonly bitsPerSample: number;
  /** Per component, the values of the lowest and the highest sample: 0 to 1, or palette indices. */
  readonly decode: readonly (readonly [number, number])[];
}

export interface PictureSamples {
  /** Width of the samples; for a JPEG read by its means an eighth of the picture's width. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** Samples row by row without padding, `components` per pixel. */
  readonly samples: Uint8Array;
  /** The highest sample value: 255, or less where the file has fewer bits. */
  readonly full: number;
  /** Whether each pixel is the mean of 8 × 8 pixels of the picture. */
  readonly isAveraged: boolean;
}

/** Undefined where the dictionary lacks what PDF requires. */
export async function pictureForm(
  file: PdfFile,
  dict: PDFDict,
  components: number,
  isIndexed = false,
): Promise<PictureForm | undefined> {
  const entry = async (key: string, short: string) =>
    await file.resolved(dict.get(PDFName.of(key)) ?? dict.get(PDFName.of(short)));
  const widthPx = numberOf(await entry('Width', 'W'));
  const heightPx = numberOf(await entry('Height', 'H'));
  const bitsPerSample = numberOf(await entry('BitsPerComponent', 'BPC')) ?? 8;
  if (!isCount(widthPx) || !isCount(heightPx) || !BITS.includes(bitsPerSample)) return undefined;
  const given = arrayOf(await entry('Decode', 'D'))?.asArray() ?? [];
  const last = isIndexed ? 2 ** bitsPerSample - 1 : 1;
  const decode: [number, number][] = [];
  for (let component = 0; component < components; component += 1) {
    const low = numberOf(await file.resolved(given[2 * component])) ?? 0;
    const high = numberOf(await file.resolved(given[2 * component + 1])) ?? last;
    decode.push([low, high]);
  }
  return { widthPx, heightPx, components, bitsPerSample, decode };
}

const isCount = (value: number | undefined): value is number => Number.isInteger(value) && value! > 0;

/**
 * Undefined where the samples cannot be read: damaged, JPEG 2000, or a JPEG where `takesMeans` is false. Of 16-bit
 * samples, the upper eight bits are kept.
 */
export async function pictureSamples(
  file: PdfFile,
  stream: PDFStream,
  form: PictureForm,
  takesMeans: boolean,
): Promise<PictureSamples | undefined> {
  try {
    const { bytes, remaining } = await file.streamDecoded(stream);
    const [coding] = remaining;
    if (coding === undefined) return unpacked(bytes, form);
    const isJpeg = remaining.length === 1 && coding.name === 'DCTDecode';
    if (!isJpeg || !takesMeans || form.bitsPerSample !== 8) return undefined;
    return jpegMeans(bytes, form.components, await colorTransform(file, coding));
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    return undefined;
  }
}

const colorTransform = async (file: PdfFile, { params }: StreamFilter): Promise<number | undefined> =>
  numberOf(await file.resolved(params?.get(PDFName.of('ColorTransform'))));

function jpegMeans(
  source: Uint8Array,
  components: number,
  transform: number | undefined,
): PictureSamples | undefined {
  const blocks = jpegInkBlocks(source, components, transform);
  if (!blocks) return undefined;
  const { across, down } = blocks;
  const samples = new Uint8ClampedArray(across * down * components);
  blocks.visitBlocks((values, block) => samples.set(values, block * components));
  return {
    widthPx: across,
    heightPx: down,
    samples: new Uint8Array(samples.buffer),
    full: 255,
    isAveraged: true,
  };
}

function unpacked(bytes: Uint8Array, form: PictureForm): PictureSamples | undefined {
  const { widthPx, heightPx, components, bitsPerSample } = form;
  const perRow = widthPx * components;
  const rowBytes = Math.ceil((perRow * bitsPerSample) / 8);
  if (bytes.length < rowBytes * heightPx) return undefined;
  const shared = { widthPx, heightPx, isAveraged: false };
  if (bitsPerSample === 8) return { ...shared, samples: bytes.subarray(0, perRow * heightPx), full: 255 };
  const samples = new Uint8Array(perRow * heightPx);
  if (bitsPerSample === 16) {
    for (let at = 0; at < samples.length; at += 1) samples[at] = bytes[2 * at]!;
    return { ...shared, samples, full: 255 };
  }
  const full = 2 ** bitsPerSample - 1;
  for (let row = 0, to = 0; row < heightPx; row += 1) {
    // Each row begins at a byte boundary (8.9.3).
    for (let i = 0, bit = row * rowBytes * 8; i < perRow; i += 1, bit += bitsPerSample, to += 1) {
      samples[to] = (bytes[bit >> 3]! >> (8 - bitsPerSample - (bit & 7))) & full;
    }
  }
  return { ...shared, samples, full };
}

/**
 * The samples of a picture however the file packs them: what the ink sums of the checks and the plates of the coverage
 * are both made of.
 */
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
  /** Samples of a pixel; a palette has one. */
  readonly components: number;
  readonly bitsPerSample: number;
  /** Per component, what the lowest and the highest sample stand for: 0 to 1, or indices of a palette. */
  readonly decode: readonly (readonly [number, number])[];
}

export interface PictureSamples {
  /** Of the samples: of a JPEG that is taken by its means an eighth of the picture's. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** As many to a pixel as the form says, row by row without padding. */
  readonly samples: Uint8Array;
  /** The highest sample: 255, or less where the file has fewer bits. */
  readonly full: number;
  /** A pixel is the mean of 8 × 8 pixels of the picture. */
  readonly isAveraged: boolean;
}

/** Undefined where the dictionary does not say what PDF asks for. */
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
 * Undefined where the samples cannot be had: damaged, JPEG 2000, a JPEG that `takesMeans` forbids. Of 16 bits the upper
 * eight are taken.
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
    // Each row begins with a byte of its own (8.9.3).
    for (let i = 0, bit = row * rowBytes * 8; i < perRow; i += 1, bit += bitsPerSample, to += 1) {
      samples[to] = (bytes[bit >> 3]! >> (8 - bitsPerSample - (bit & 7))) & full;
    }
  }
  return { ...shared, samples, full };
}

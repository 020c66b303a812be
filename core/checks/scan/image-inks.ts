import { PDFName, type PDFStream } from 'pdf-lib';
import type { ImagePlacement } from '../../pdf/content/page-images.ts';
import type { ImageInfo } from '../../pdf/content/painted.ts';
import { arrayOf, numberOf } from '../../pdf/file/dict-values.ts';
import type { StreamFilter } from '../../pdf/file/filters.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { isPdfProblem } from '../../pdf/file/pdf-problem.ts';
import { StoredStream } from '../../pdf/file/stored-stream.ts';
import { FULL_INK, InkHistogram } from './ink-histogram.ts';
import { jpegInkHistogram } from './jpeg-inks.ts';
import type { PageScan, ScannedImageInk } from './schema.ts';

/** Images with more bytes of pixels, or of JPEG data, than this would keep an operator waiting. */
const MAX_SAMPLE_BYTES = 64 << 20;
const MAX_TOTAL_BYTES = 256 << 20;
const MAX_PLACEMENTS = 500;
const INKS = 4;

export type PageImageInks = Pick<PageScan, 'imageInks' | 'imagesUncounted'>;
type InkSums = Omit<ScannedImageInk, 'area'>;

/**
 * Ink sums of images in four inks of eight bits: of each pixel, and of a JPEG of the mean of every 8 × 8 pixels. Each is
 * unpacked once for the whole artwork.
 */
export class ImageInks {
  readonly #file: PdfFile;
  readonly #known = new Map<PDFStream, InkSums | undefined>();
  #bytesLeft = MAX_TOTAL_BYTES;

  constructor(file: PdfFile) {
    this.#file = file;
  }

  async ofPage(placements: readonly ImagePlacement[]): Promise<PageImageInks> {
    const imageInks: ScannedImageInk[] = [];
    const uncounted = new Set<PDFStream>();
    for (const { image, drawn, isVisible, within } of placements) {
      const { stream } = image;
      if (stream === undefined || !isVisible || within === 'soft-mask' || !isInFourInks(image)) continue;
      const sums = await this.#sumsOf(image, stream);
      if (sums === undefined) uncounted.add(stream);
      else if (imageInks.length < MAX_PLACEMENTS) imageInks.push({ ...sums, area: drawn });
    }
    return { imageInks, imagesUncounted: uncounted.size };
  }

  async #sumsOf(image: ImageInfo, stream: PDFStream): Promise<InkSums | undefined> {
    if (this.#known.has(stream)) return this.#known.get(stream);
    const bytes =
      image.filters.at(-1) === 'DCTDecode' ? storedBytes(stream) : image.width * image.height * INKS;
    const isWorthIt = bytes <= MAX_SAMPLE_BYTES && bytes <= this.#bytesLeft;
    const sums = isWorthIt ? await inkSums(this.#file, image, stream) : undefined;
    if (isWorthIt) this.#bytesLeft -= bytes;
    this.#known.set(stream, sums);
    return sums;
  }
}

const storedBytes = (stream: PDFStream): number =>
  stream instanceof StoredStream ? stream.length : stream.getContents().length;

function isInFourInks({ space }: ImageInfo): boolean {
  return space?.family === 'DeviceCMYK' || (space?.family === 'ICCBased' && space.components === INKS);
}

/** Undefined where the pixels cannot be had: too many, damaged, other than eight bits, JPEG 2000. */
async function inkSums(file: PdfFile, image: ImageInfo, stream: PDFStream): Promise<InkSums | undefined> {
  const bytes = image.width * image.height * INKS;
  if (image.bitsPerComponent !== 8 || !(bytes > 0)) return undefined;
  try {
    const { remaining, bytes: decoded } = await file.streamDecoded(stream);
    const inverted = await invertedInks(file, stream);
    const isJpeg = remaining.length === 1 && remaining[0]!.name === 'DCTDecode';
    const histogram = isJpeg
      ? jpegInkHistogram(decoded, inverted, await colourTransform(file, remaining[0]!))
      : remaining.length === 0 && decoded.length >= bytes
        ? pixelInkHistogram(decoded.subarray(0, bytes), inverted)
        : undefined;
    return (
      histogram && {
        ...(image.ref && { object: image.ref.objectNumber }),
        ...histogram.sums(),
        isAveraged: isJpeg,
      }
    );
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    return undefined;
  }
}

/** ISO 32000-1, Table 13: 0 for four components, unless the file says otherwise. */
const colourTransform = async (file: PdfFile, { params }: StreamFilter): Promise<number> =>
  numberOf(await file.resolved(params?.get(PDFName.of('ColorTransform')))) ?? 0;

/** Per ink, whether Decode turns it round: `[1 0 …]` means that 0 is full ink. */
async function invertedInks(file: PdfFile, stream: PDFStream): Promise<boolean[]> {
  const decode = arrayOf(await file.resolved(stream.dict.get(PDFName.of('Decode'))));
  return Promise.all(
    Array.from({ length: INKS }, async (_, i) => {
      const low = numberOf(await file.resolved(decode?.asArray()[2 * i])) ?? 0;
      const high = numberOf(await file.resolved(decode?.asArray()[2 * i + 1])) ?? 1;
      return low > high;
    }),
  );
}

function pixelInkHistogram(samples: Uint8Array, inverted: readonly boolean[]): InkHistogram {
  const histogram = new InkHistogram();
  const [c, m, y, k] = inverted.map((isInverted) => (isInverted ? FULL_INK : 0)) as [
    number,
    number,
    number,
    number,
  ];
  for (let i = 0; i < samples.length; i += INKS) {
    // Exclusive or with 255 is 255 minus the sample.
    histogram.add((samples[i]! ^ c) + (samples[i + 1]! ^ m) + (samples[i + 2]! ^ y) + (samples[i + 3]! ^ k));
  }
  return histogram;
}

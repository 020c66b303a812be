import { PDFName, type PDFStream } from 'pdf-lib';
import type { ImagePlacement } from '../../pdf/content/page-images.ts';
import type { ImageInfo } from '../../pdf/content/painted.ts';
import { arrayOf, numberOf } from '../../pdf/file/dict-values.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { isPdfProblem } from '../../pdf/file/pdf-problem.ts';
import { INK_STEP_PERCENT, type PageScan, type ScannedImageInk } from './schema.ts';

/** Images with more bytes of pixels than this would keep an operator waiting. */
const MAX_SAMPLE_BYTES = 64 << 20;
const MAX_TOTAL_BYTES = 256 << 20;
const MAX_PLACEMENTS = 500;
const INKS = 4;
const STEPS = (100 * INKS) / INK_STEP_PERCENT;
const FULL = 255;

export type PageImageInks = Pick<PageScan, 'imageInks' | 'imagesUncounted'>;
type InkSums = Omit<ScannedImageInk, 'area'>;

/** Ink sums of the pixels of images in four inks of eight bits; each is unpacked once for the whole artwork. */
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
    const bytes = image.width * image.height * INKS;
    const isWorthIt = bytes <= MAX_SAMPLE_BYTES && bytes <= this.#bytesLeft;
    const sums = isWorthIt ? await inkSums(this.#file, image, stream) : undefined;
    if (isWorthIt) this.#bytesLeft -= bytes;
    this.#known.set(stream, sums);
    return sums;
  }
}

function isInFourInks({ space }: ImageInfo): boolean {
  return space?.family === 'DeviceCMYK' || (space?.family === 'ICCBased' && space.components === INKS);
}

/** Undefined where the pixels cannot be had: a JPEG, too many, damaged, other than eight bits. */
async function inkSums(file: PdfFile, image: ImageInfo, stream: PDFStream): Promise<InkSums | undefined> {
  const bytes = image.width * image.height * INKS;
  if (image.bitsPerComponent !== 8 || !(bytes > 0)) return undefined;
  try {
    const decoded = await file.streamDecoded(stream);
    if (decoded.remaining.length > 0 || decoded.bytes.length < bytes) return undefined;
    const inverted = await invertedInks(file, stream);
    const histogram = histogramOfSums(decoded.bytes.subarray(0, bytes), inverted);
    return {
      ...(image.ref && { object: image.ref.objectNumber }),
      maxPercent: (100 * histogram.max) / FULL,
      shares: histogram.shares,
    };
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    return undefined;
  }
}

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

function histogramOfSums(
  samples: Uint8Array,
  inverted: readonly boolean[],
): { readonly max: number; readonly shares: number[] } {
  const counts = new Float64Array(FULL * INKS + 1);
  const [c, m, y, k] = inverted.map((isInverted) => (isInverted ? FULL : 0)) as [
    number,
    number,
    number,
    number,
  ];
  for (let i = 0; i < samples.length; i += INKS) {
    // Exclusive or with 255 is 255 minus the sample.
    const sum = (samples[i]! ^ c) + (samples[i + 1]! ^ m) + (samples[i + 2]! ^ y) + (samples[i + 3]! ^ k);
    counts[sum]!++;
  }
  const pixels = samples.length / INKS;
  const shares = Array.from({ length: STEPS }, () => 0);
  let max = 0;
  for (const [sum, pixelCount] of counts.entries()) {
    if (pixelCount === 0) continue;
    max = sum;
    const percent = (100 * sum) / FULL;
    // A pixel is above every step that its sum exceeds.
    const above = Math.min(STEPS, Math.ceil(percent / INK_STEP_PERCENT));
    for (let step = 0; step < above; step++) shares[step]! += pixelCount / pixels;
  }
  return { max, shares };
}

import type { PDFStream } from 'pdf-lib';
import { type PictureSamples, pictureForm, pictureSamples } from '../../ink/picture-samples.ts';
import { imageColorSpace } from '../../pdf/content/color-space.ts';
import type { ImagePlacement } from '../../pdf/content/page-images.ts';
import type { ImageInfo } from '../../pdf/content/painted.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { isPdfProblem } from '../../pdf/file/pdf-problem.ts';
import { StoredStream } from '../../pdf/file/stored-stream.ts';
import { InkHistogram } from './ink-histogram.ts';
import { type InkTables, inkTables, mostPlates } from './ink-tables.ts';
import type { PageScan, ScannedImageInk } from './schema.ts';

/** Larger images, in bytes of pixels or JPEG data, would keep an operator waiting. */
const MAX_SAMPLE_BYTES = 64 << 20;
const MAX_TOTAL_BYTES = 256 << 20;
const MAX_PLACEMENTS = 500;

export type PageImageInks = Pick<PageScan, 'imageInks' | 'imagesUncounted'>;
type InkSums = Omit<ScannedImageInk, 'area'>;

/**
 * Ink sums of images in process or spot inks, or with a palette of them: of each pixel, or in a JPEG of the mean of
 * every 8 × 8 pixels. Each is unpacked once for the whole artwork.
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
      if (stream === undefined || !isVisible || within === 'soft-mask' || !isHeavy(image)) continue;
      const sums = await this.#sumsOf(image, stream);
      if (sums === undefined) uncounted.add(stream);
      else if (imageInks.length < MAX_PLACEMENTS) imageInks.push({ ...sums, area: drawn });
    }
    return { imageInks, imagesUncounted: uncounted.size };
  }

  async #sumsOf(image: ImageInfo, stream: PDFStream): Promise<InkSums | undefined> {
    if (this.#known.has(stream)) return this.#known.get(stream);
    const bytes =
      image.filters.at(-1) === 'DCTDecode'
        ? storedBytes(stream)
        : image.width * image.height * (image.space?.components ?? 1);
    const isWorthIt = bytes <= MAX_SAMPLE_BYTES && bytes <= this.#bytesLeft;
    const sums = isWorthIt ? await inkSums(this.#file, image, stream) : undefined;
    if (isWorthIt) this.#bytesLeft -= bytes;
    this.#known.set(stream, sums);
    return sums;
  }
}

const storedBytes = (stream: PDFStream): number =>
  stream instanceof StoredStream ? stream.length : stream.getContents().length;

/** One ink alone never exceeds a limit. */
const isHeavy = ({ space }: ImageInfo): boolean => space !== undefined && mostPlates(space) > 1;

/** Undefined where the pixels cannot be read: too many, damaged, or JPEG 2000. */
async function inkSums(file: PdfFile, image: ImageInfo, stream: PDFStream): Promise<InkSums | undefined> {
  const space = image.space!;
  const isIndexed = space.family === 'Indexed';
  const form = await pictureForm(file, stream.dict, space.components, isIndexed);
  const read = form && (await pictureSamples(file, stream, form, !isIndexed));
  if (!read) return undefined;
  try {
    const tables = await inkTables(space, imageColorSpace(stream.dict), form, read.full, file);
    return (
      tables && {
        ...(image.ref && { object: image.ref.objectNumber }),
        ...inkHistogram(read, tables).sums(),
        isAveraged: read.isAveraged,
      }
    );
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    return undefined;
  }
}

function inkHistogram({ samples }: PictureSamples, { plates, ofSamples }: InkTables): InkHistogram {
  const histogram = new InkHistogram(plates);
  const [cyan, magenta, yellow, black] = ofSamples;
  if (ofSamples.length === 4) {
    for (let at = 0; at < samples.length; at += 4)
      histogram.add(
        cyan![samples[at]!]! +
          magenta![samples[at + 1]!]! +
          yellow![samples[at + 2]!]! +
          black![samples[at + 3]!]!,
      );
    return histogram;
  }
  for (let at = 0; at < samples.length; ) {
    let sum = 0;
    for (let i = 0; i < ofSamples.length; i++, at++) sum += ofSamples[i]![samples[at]!]!;
    histogram.add(sum);
  }
  return histogram;
}

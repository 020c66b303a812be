/** Decides which pixels of which image each panel gets. */
import { PDFName, PDFStream } from 'pdf-lib';
import { firstOf, itemAt } from '../measure/present.ts';
import type { AreaContent, ImageNeed } from '../pdf/content/content-for-areas.ts';
import { imageInfoFrom } from '../pdf/content/image-info.ts';
import { numberOf } from '../pdf/file/dict-values.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { StoredStream } from '../pdf/file/stored-stream.ts';
import type { CroppedImage, ImageCrop, ImagePart } from '../pdf/images/cropped-image.ts';
import {
  type FlateCodec,
  type ImageDescription,
  type ImageForm,
  type ImageProblem,
  imageCropPlans,
  imageForm,
  imagePixelWindow,
  type PixelWindow,
} from '../pdf/images/image-crop.ts';
import { imageFilters } from '../pdf/images/image-filters.ts';
import { type Matrix, matrixProduct } from '../pdf/page/page-space.ts';

/** A crop must save at least this many bytes, and at least this share of the image. */
export interface CropGain {
  readonly bytes: number;
  readonly share: number;
}

/**
 * A whole small picture costs almost nothing, and renderers that round its edges to their own pixels then show it as
 * before. Saving less than a tenth of a picture does not justify packing the rest again.
 */
export const CROP_GAIN: CropGain = { bytes: 1 << 15, share: 0.1 };

export interface ImageCropsPlanned {
  readonly images: ReadonlyMap<PDFStream, CroppedImage>;
  /** For each panel, sentences about images that stay whole although little of them shows. */
  readonly notes: readonly (readonly string[])[];
}

export interface CropPlanning {
  readonly file: PdfFile;
  readonly flate: FlateCodec;
  readonly gain: CropGain;
}

/** Masks of an image by the keys of its dictionary (ISO 32000-1, Table 89). */
const MASK_KEYS = ['SMask', 'Mask'].map((key) => PDFName.of(key));
const UNIT: Matrix = [1, 0, 0, 1, 0, 0];

/** Plans the crops of all images. `toPage` maps, for each window, the artwork page's user space to the panel's page. */
export async function imageCropsPlanned(
  windows: readonly AreaContent[],
  toPage: readonly Matrix[],
  planning: CropPlanning,
): Promise<ImageCropsPlanned> {
  const images = new Map<PDFStream, CroppedImage>();
  const notes = windows.map((): string[] => []);
  for (const stream of new Set(windows.flatMap((window) => [...window.images.keys()]))) {
    const needs = windows.flatMap(({ images: needed }, panel): PanelNeed[] => {
      const need = needed.get(stream);
      return need === undefined || need.part === 'whole' ? [] : [{ panel, ...need, part: need.part }];
    });
    const planned = needs.length > 0 ? await imagePlanned(stream, needs, toPage, planning) : undefined;
    if (planned === undefined) continue;
    if (planned.image && planned.image.crops.size > 0) images.set(stream, planned.image);
    for (const [panel, note] of planned.notes) itemAt(notes, panel).push(note);
  }
  return { images, notes };
}

type PanelNeed = Omit<ImageNeed, 'part'> & {
  readonly panel: number;
  readonly part: Exclude<ImageNeed['part'], 'whole'>;
};

async function imagePlanned(
  stream: PDFStream,
  needs: readonly PanelNeed[],
  toPage: readonly Matrix[],
  planning: CropPlanning,
): Promise<{ image?: CroppedImage; notes: ReadonlyMap<number, string> } | undefined> {
  const { file } = planning;
  const described = [await description(stream, undefined, file)];
  for (const key of MASK_KEYS) {
    const mask = await file.resolved(stream.dict.get(key));
    if (mask instanceof PDFStream) described.push(await description(mask, key, file));
  }
  const [size] = described as [Described];
  const weighed: Weighed = { size, bytes: described.reduce((sum, { storedBytes }) => sum + storedBytes, 0) };
  const wanted = needs.flatMap((need) => {
    const pixels = imagePixelWindow(UNIT, need.part, size);
    return pixels && isWorthCropping(pixels, weighed, planning.gain) ? [{ ...need, pixels }] : [];
  });
  if (wanted.length === 0) return undefined;
  const notes = new Map<number, string>();
  const leftWhole = (panel: number, problem: ImageProblem): unknown =>
    notes.set(panel, wholeNote(size, problem));

  const parts: ImagePart[] = [];
  for (const { stream: data, key, ...image } of described) {
    const found = await imageForm(image, file.streamChunks(data, HEAD_CHUNK_BYTES), planning.flate);
    if (found.ok) {
      parts.push({ key, stream: data, form: found.value });
      continue;
    }
    for (const { panel } of wanted) leftWhole(panel, found.problem);
    return { notes };
  }
  const placements = wanted.map(({ panel, placement }) => matrixProduct(placement, itemAt(toPage, panel)));
  const plans = imageCropPlans(
    parts.map(({ form }) => form) as [ImageForm, ...ImageForm[]],
    wanted.map(({ pixels }) => pixels),
    {
      placements: wanted.map(
        ({ panel, placement }) => placement && matrixProduct(placement, itemAt(toPage, panel)),
      ),
    },
  );
  const crops = new Map<number, ImageCrop>();
  for (const [i, plan] of plans.entries()) {
    const { panel } = itemAt(wanted, i);
    if (plan.note) leftWhole(panel, plan.note);
    else if (isWorthCropping(firstOf(plan.crops), weighed, planning.gain))
      crops.set(panel, { pixels: plan.crops, placement: itemAt(placements, i) });
  }
  return { image: { parts: parts as [ImagePart, ...ImagePart[]], crops }, notes };
}

/** Enough for the head of a JPEG; other images are not read at all. */
const HEAD_CHUNK_BYTES = 1 << 16;

interface Weighed {
  readonly size: { readonly width: number; readonly height: number };
  /** The stored size of the image and its masks together. */
  readonly bytes: number;
}

function isWorthCropping(crop: PixelWindow, { size, bytes }: Weighed, gain: CropGain): boolean {
  const share = 1 - (crop.width * crop.height) / (size.width * size.height);
  return share >= gain.share && share > 0 && share * bytes >= gain.bytes;
}

/** For the manifest: which image was left whole, and why. Keeps CUT13. */
export const wholeNote = (size: { width: number; height: number }, { message }: ImageProblem): string =>
  `An image of ${size.width} × ${size.height} pixels is carried whole. ${message}`;

/** For the manifest: a JPEG 2000 image, which cannot be cut in its coded form. */
export const decodedNote = (size: { width: number; height: number }): string =>
  `An image of ${size.width} × ${size.height} pixels in JPEG 2000 is decoded and cropped as samples, which is smaller.`;

export type Described = ImageDescription & Omit<ImagePart, 'form'> & { readonly storedBytes: number };

/** An image, or its mask under `key`, as the cropping code needs it. */
export async function description(
  stream: PDFStream,
  key: PDFName | undefined,
  file: PdfFile,
): Promise<Described> {
  const info = await imageInfoFrom(stream.dict, stream, undefined, file, async () => undefined);
  return {
    stream,
    key,
    width: info.width,
    height: info.height,
    bitsPerComponent: info.bitsPerComponent,
    components: info.isStencil ? 1 : (info.space?.components ?? 0),
    isRecoded:
      (await file.entry(stream.dict, 'Decode')) !== undefined ||
      (numberOf(await file.entry(stream.dict, 'SMaskInData')) ?? 0) !== 0 ||
      info.isStencil,
    filters: await imageFilters(stream, file),
    storedBytes: stream instanceof StoredStream ? stream.length : stream.getContentsSize(),
  };
}

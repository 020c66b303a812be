/**
 * Writes a page as a small PDF that looks the same at screen size: large images have fewer pixels, and images that do
 * not show have one. Vectors, text, clips, blends, masks, layers and color spaces stay those of the page, as do its
 * boxes and its rotation, so the copy can be drawn in its place.
 *
 * JPEG 2000, JBIG2 and fax images stay whole, and so do JPEGs that need more detail than the means of their blocks.
 */
import { PDFArray, PDFContext, PDFName, type PDFObject, type PDFRef, PDFStream } from 'pdf-lib';
import { valueAt } from '../measure/present.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../measure/result.ts';
import { contentPageFrom } from '../pdf/content/content-page.ts';
import { MASK_KEYS, type PageImageNeeds, pageImageNeeds } from '../pdf/content/image-needs.ts';
import { type Artwork, pageWithSpace } from '../pdf/document/artwork.ts';
import { documentVersion } from '../pdf/document/page-facts.ts';
import { nameOf } from '../pdf/file/dict-values.ts';
import { type PdfPage, pageAttribute } from '../pdf/file/pages.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { isPdfProblem } from '../pdf/file/pdf-problem.ts';
import { StoredStream } from '../pdf/file/stored-stream.ts';
import { ImageFault } from '../pdf/images/image-problem.ts';
import { copyLayers } from '../pdf/write/layers.ts';
import { ObjectCopier, type Replacement } from '../pdf/write/object-copier.ts';
import { PanelStream } from '../pdf/write/panel-stream.ts';
import { type FileOutput, PdfWriter } from '../pdf/write/pdf-writer.ts';
import {
  type ImageReduction,
  imageReduction,
  type ReducingTools,
  reducedBytes,
  reducedDict,
  reduceImage,
  sharpness,
} from './image-reduction.ts';
import type { ReducedDetail } from './reduced-size.ts';
import { imageUnseen } from './unseen-image.ts';

export interface ReducedPageRequest extends ReducedDetail {
  /** Counted from 1. */
  readonly page: number;
  /** Maximum size of the copy. */
  readonly maxBytes: number;
  /** Whether a copy is useless if no picture can be made smaller. */
  readonly isOfPictures?: boolean;
  /** Maximum packed size of the page's own content, which a copy does not reduce. */
  readonly maxContentBytes: number;
  /** The copy must be sharp enough for a picture with this longer edge in pixels; absent: any sharpness. */
  readonly neededPx?: number;
}

export interface ReducedPageWritten {
  /** Longer edge, in pixels, of the largest picture that looks as if drawn from the page itself. */
  readonly sharpPx: number;
}

/**
 * Writes the page as a file of one page, without a password. Problems: those of the page and its images; `reduced-same`
 * where no picture gets smaller; `reduced-too-large` where the parts that must stay whole are too large;
 * `reduced-too-coarse` where it is not sharp enough. After a problem, discard what was written. Errors of the output
 * and of `pause` are rethrown.
 */
export async function writeReducedPage(
  artwork: Artwork,
  request: ReducedPageRequest,
  output: FileOutput,
  tools: ReducingTools,
): Promise<Result<ReducedPageWritten, Problem>> {
  try {
    const found = pageWithSpace(artwork, request.page, 'crop');
    if (!found.ok) return found;
    return await new ReducedPage(artwork.file, tools).write(found.value.source.page, request, output);
  } catch (error) {
    if (error instanceof ImageFault) return resultProblem(error.problem);
    if (!isPdfProblem(error)) throw error;
    const { code, message, remedy } = error;
    return resultProblem({ code, message, remedy });
  }
}

const INHERITED = ['Resources', 'MediaBox', 'CropBox', 'Rotate'] as const;
const OWN = ['Contents', 'Group', 'UserUnit'].map((key) => PDFName.of(key));

class ReducedPage {
  readonly #file: PdfFile;
  readonly #tools: ReducingTools;
  readonly #reductions = new Map<PDFObject, ImageReduction>();

  constructor(file: PdfFile, tools: ReducingTools) {
    this.#file = file;
    this.#tools = tools;
  }

  async write(
    page: PdfPage,
    request: ReducedPageRequest,
    output: FileOutput,
  ): Promise<Result<ReducedPageWritten, Problem>> {
    const file = this.#file;
    const contentBytes = await contentWeight(file, page);
    if (contentBytes > request.maxContentBytes) return resultProblem(tooLarge(contentBytes));
    const countStep = async (): Promise<void> => await this.#tools.pause?.('content');
    const pause = async (): Promise<void> => await this.#tools.pause?.('pictures');
    const { isRepaired } = file;
    const found = await pageImageNeeds(
      { ...(await contentPageFrom(file, page)), pause: countStep },
      request.longestPx,
    );
    await this.#plan(found, request);
    if (request.isOfPictures && this.#reductions.size === 0) return resultProblem(noPictures);
    const sharpPx = request.longestPx * this.#sharpness(found);
    if (sharpPx < (request.neededPx ?? 0)) return resultProblem(tooCoarse);
    const { context, root } = await copied(file, page, (_, object) => this.#standIn(object, found));
    if (file.isRepaired !== isRepaired) {
      // The cross-reference turned out broken, so the objects found so far are no longer current.
      this.#reductions.clear();
      return await this.write(page, request, output);
    }
    const objects = context.enumerateIndirectObjects();
    const bytes = objects.reduce((sum, [, object]) => sum + this.#weight(object), 0);
    if (bytes > request.maxBytes) return resultProblem(tooLarge(bytes));
    const writer = new PdfWriter(output, context, this.#tools.flate, pause);
    await writer.begin(Math.max(1.5, await documentVersion(file)));
    for (const [ref, object] of objects) {
      if (object instanceof PanelStream) await this.#writeStream(writer, ref, object, request);
      else await writer.writeObject(ref, object);
      await pause();
    }
    await writer.finish({ Root: root });
    return resultOk({ sharpPx });
  }

  async #plan({ needs }: PageImageNeeds, detail: ReducedDetail): Promise<void> {
    for (const [stream, need] of needs) {
      const reduction = await imageReduction(this.#file, stream, need, detail, this.#tools.flate);
      if (reduction) this.#reductions.set(stream, reduction);
    }
    for (const stream of needs.keys()) {
      if (await this.#isParted(stream))
        for (const part of await this.#parts(stream)) this.#reductions.delete(part);
    }
  }

  /** The smallest share of the requested pixels, along an edge, that any picture still has. */
  #sharpness({ needs }: PageImageNeeds): number {
    const shares = [...this.#reductions.values()].map((reduction) =>
      sharpness(reduction, valueAt(needs, reduction.stream)),
    );
    return Math.min(Number.POSITIVE_INFINITY, ...shares);
  }

  /**
   * Colors mixed with a matte are unmixed pixel by pixel, so image and soft mask must keep the same size (11.6.5.3).
   */
  async #isParted(stream: PDFStream): Promise<boolean> {
    const mask = await this.#file.entry(stream.dict, 'SMask');
    if (!(mask instanceof PDFStream) || !mask.dict.has(PDFName.of('Matte'))) return false;
    const [size, other] = [this.#reductions.get(stream)?.size, this.#reductions.get(mask)?.size];
    return size?.width !== other?.width || size?.height !== other?.height;
  }

  async #parts(stream: PDFStream): Promise<PDFObject[]> {
    const masks = await Promise.all(MASK_KEYS.map((key) => this.#file.resolved(stream.dict.get(key))));
    return [stream, ...masks.filter((mask) => mask !== undefined)];
  }

  async #standIn(object: PDFObject, { needs, isComplete }: PageImageNeeds): Promise<PDFObject | undefined> {
    if (!(object instanceof PDFStream)) return undefined;
    const { context } = this.#file;
    const reduction = this.#reductions.get(object);
    if (reduction) return new PanelStream(reducedDict(reduction, context), { kind: 'carried', from: object });
    const isImage = nameOf(await this.#file.entry(object.dict, 'Subtype')) === 'Image';
    return isImage && isComplete && !needs.has(object) ? imageUnseen(context) : undefined;
  }

  #weight(object: PDFObject): number {
    if (!(object instanceof PanelStream)) return object.sizeInBytes();
    const { data } = object;
    if (data.kind !== 'carried') return 0;
    const reduction = this.#reductions.get(data.from);
    if (reduction) return reducedBytes(reduction);
    return data.from instanceof StoredStream ? data.from.length : data.from.getContentsSize();
  }

  async #writeStream(
    writer: PdfWriter,
    ref: PDFRef,
    { dict, data }: PanelStream,
    detail: ReducedDetail,
  ): Promise<void> {
    if (data.kind === 'made') return await writer.writePackedStream(ref, dict, data.bytes());
    if (data.kind !== 'carried') throw new Error('A reduced page has no crops.');
    const reduction = this.#reductions.get(data.from);
    if (reduction) {
      const sink = writer.stream(ref, dict, reducedBytes(reduction));
      await reduceImage(this.#file, reduction, sink, detail, this.#tools);
      return;
    }
    const sink = writer.stream(ref, dict);
    for await (const chunk of this.#file.streamChunks(data.from)) {
      await sink.write(chunk);
      await this.#tools.pause?.('pictures');
    }
    await sink.end();
  }
}

/** Copies the document with only this page. Annotations are not artwork. */
async function copied(file: PdfFile, page: PdfPage, standIn: Replacement) {
  const context = PDFContext.create();
  const copier = new ObjectCopier(file, context, standIn);
  const [root, pages, kid] = [context.nextRef(), context.nextRef(), context.nextRef()];
  const dict = context.obj({ Type: 'Page', Parent: pages });
  for (const key of INHERITED) {
    const value = await pageAttribute(file, page, key);
    if (value !== undefined) dict.set(PDFName.of(key), await copier.copy(value));
  }
  for (const key of OWN) {
    const value = page.dict.get(key);
    if (value !== undefined) dict.set(key, await copier.copy(value));
  }
  const catalog = context.obj({ Type: 'Catalog', Pages: pages });
  const layers = await copyLayers(file, copier);
  if (layers) catalog.set(PDFName.of('OCProperties'), context.register(layers));
  context.assign(root, catalog);
  context.assign(pages, context.obj({ Type: 'Pages', Kids: [kid], Count: 1 }));
  context.assign(kid, dict);
  return { context, root };
}

async function contentWeight(file: PdfFile, { dict }: PdfPage): Promise<number> {
  const contents = await file.resolved(dict.get(PDFName.Contents));
  const streams = contents instanceof PDFArray ? contents.asArray() : [contents];
  let bytes = 0;
  for (const item of streams) {
    const stream = await file.resolved(item);
    if (stream instanceof StoredStream) bytes += stream.length;
  }
  return bytes;
}

const noPictures: Problem = {
  code: 'reduced-same',
  message: 'No picture of the page can be made smaller.',
  remedy: 'Draw the file itself.',
};

const tooCoarse: Problem = {
  code: 'reduced-too-coarse',
  message: 'Its pictures would be less sharp than the page is to be drawn.',
  remedy: 'Draw the file itself.',
};

const tooLarge = (bytes: number): Problem => ({
  code: 'reduced-too-large',
  message: `Pictures that cannot be made smaller, and drawings, weigh ${Math.round(bytes / 1e6)} MB.`,
  remedy: 'Judge the artwork in a viewer, or save its largest pictures again as Flate or JPEG.',
});

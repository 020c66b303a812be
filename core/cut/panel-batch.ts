/** Cuts the panels of one artwork page together: one walk through its content, one pass over each picture. */
import { type PDFDict, PDFName, type PDFRef, PDFStream } from 'pdf-lib';
import { firstOf, itemAt } from '../measure/present.ts';
import { type AreaContent, contentForAreas } from '../pdf/content/content-for-areas.ts';
import { contentPageFrom } from '../pdf/content/content-page.ts';
import { KeptContent } from '../pdf/content/kept-content.ts';
import {
  type ContentFacts,
  decodedPieces,
  type PageDrawing,
  pageDrawing,
} from '../pdf/content/page-content.ts';
import type { StreamCut } from '../pdf/content/stream-record.ts';
import type { Artwork } from '../pdf/document/artwork.ts';
import { ByteBuffer, type ByteSink } from '../pdf/file/byte-stream.ts';
import { StoredStream } from '../pdf/file/stored-stream.ts';
import type { CroppedImage, ImageCrop } from '../pdf/images/cropped-image.ts';
import { cropImage, decodedImage, type ImageForm, type ImageProblem } from '../pdf/images/image-crop.ts';
import { imageProblem } from '../pdf/images/image-problem.ts';
import { PanelStream } from '../pdf/write/panel-stream.ts';
import { type FileOutput, PdfWriter, type WriterMark } from '../pdf/write/pdf-writer.ts';
import { cropInsertions } from './cropped-content.ts';
import type { CutPanel, CutTools } from './cut-request.ts';
import { CROP_GAIN, decodedNote, imageCropsPlanned, wholeNote } from './image-crops.ts';
import { PanelDocument } from './panel-document.ts';
import type { PreparedCut } from './prepared-cut.ts';

interface Panel {
  readonly prepared: PreparedCut;
  readonly document: PanelDocument;
  readonly writer: PdfWriter;
  readonly notes: string[];
}

/** For a page that cannot be read; reading it again reports the reason. */
const UNKNOWN: ContentFacts = { isUnbalanced: true, isCutOff: true, isBlank: false };

/** @throws PdfProblem where the page cannot be read, and any error of the outputs and the tools. */
export async function cutPanelBatch(
  artwork: Artwork,
  cuts: readonly PreparedCut[],
  outputs: readonly FileOutput[],
  tools: CutTools,
): Promise<CutPanel[]> {
  const { file } = artwork;
  const { source } = firstOf(cuts);
  const facts = source.facts.ok ? source.facts.value : UNKNOWN;
  const page = await pageDrawing(file, source.page, facts, tools.pause);
  const windows = tools.carries === 'everything' ? undefined : await pageAreas(artwork, cuts, page, tools);
  const gain = tools.cropGain ?? CROP_GAIN;
  const planned = windows
    ? await imageCropsPlanned(
        windows,
        cuts.map(({ matrix }) => matrix),
        { file, flate: tools.flate, gain },
      )
    : { images: new Map(), notes: [] };
  const panels: Panel[] = [];
  for (const [index, prepared] of cuts.entries()) {
    const window = windows?.[index];
    const images = new Map([...planned.images].filter(([, image]) => image.crops.has(index)));
    const content = { page, window, crops: { panel: index, images } };
    const document = await PanelDocument.make(artwork, prepared, content, tools);
    const writer = new PdfWriter(itemAt(outputs, index), document.context, tools.flate, tools.pause);
    panels.push({
      prepared,
      document,
      writer,
      notes: [...(planned.notes[index] ?? []), ...(prepared.cut.marks?.notes ?? [])],
    });
    await tools.pause?.();
  }
  const writing = new PanelWriting(artwork, page, panels, [...planned.images.values()], tools);
  await writing.run();
  return panels.map(({ prepared: { plan }, notes }) => ({
    enlargeBy: plan.enlargeBy,
    userUnit: plan.userUnit,
    notes,
  }));
}

async function pageAreas(
  { file }: Artwork,
  cuts: readonly PreparedCut[],
  { pieces }: PageDrawing,
  { pause }: CutTools,
): Promise<AreaContent[]> {
  const { source, visible } = firstOf(cuts);
  const page = await contentPageFrom(file, source.page);
  return contentForAreas(
    { ...page, box: visible, contents: pieces, pause },
    cuts.map(({ clip }) => clip),
  );
}

/** How many panels are written side by side. */
const PANELS_AT_ONCE = 4;

/** A panel that gets a part of an image, and the mark where it began to write that part. */
interface ImageTaker {
  readonly panel: Panel;
  readonly crop: ImageCrop;
  readonly parts: ReturnType<PanelDocument['croppedParts']>;
  readonly mark: WriterMark;
}

const IS_SMALLER_WHOLE = imageProblem(
  'image-jpeg-2000-smaller',
  'It is coded as JPEG 2000, and what the panel shows of it would be larger without that coding.',
);

/** A stream of a panel that gets the part of some content that it needs. */
interface ContentTaker {
  readonly panel: Panel;
  readonly ref: PDFRef;
  readonly dict: PDFDict;
  readonly cut: StreamCut | undefined;
}

/** Writes the documents, and counts the bytes of the artwork as they are read. */
class PanelWriting {
  readonly #artwork: Artwork;
  readonly #page: PageDrawing;
  readonly #panels: readonly Panel[];
  readonly #images: readonly CroppedImage[];
  readonly #tools: CutTools;
  readonly #total: number;
  #done = 0;

  constructor(
    artwork: Artwork,
    page: PageDrawing,
    panels: readonly Panel[],
    images: readonly CroppedImage[],
    tools: CutTools,
  ) {
    this.#artwork = artwork;
    this.#page = page;
    this.#panels = panels;
    this.#images = images;
    this.#tools = tools;
    const carried = panels.flatMap(({ document }) =>
      document.objects.map(([, object]) => carriedBytes(object)),
    );
    const cropped = images.flatMap(({ parts }) => parts.map(({ stream }) => storedBytes(stream)));
    this.#total = [...carried, ...cropped].reduce((sum, bytes) => sum + bytes, 1);
  }

  async run(): Promise<void> {
    for (const { writer, document } of this.#panels) await writer.begin(document.version);
    for (const image of this.#images) await this.#writeImage(image);
    for (const [from, takers] of this.#contents()) await this.#writeContent(from, takers);
    await this.#finishPanels();
    await this.#advance(this.#total - this.#done);
  }

  /**
   * Finishes a few panels side by side, so that one is packed while another is read. After a failure the others stop at
   * their current panel.
   */
  async #finishPanels(): Promise<void> {
    const waiting = [...this.#panels];
    const finishOneByOne = async (): Promise<void> => {
      try {
        for (let panel = waiting.shift(); panel; panel = waiting.shift()) await this.#finish(panel);
      } catch (error) {
        waiting.length = 0;
        throw error;
      }
    };
    const ends = await Promise.allSettled(Array.from({ length: PANELS_AT_ONCE }, finishOneByOne));
    for (const end of ends) if (end.status === 'rejected') throw end.reason;
  }

  async #finish({ writer, document }: Panel): Promise<void> {
    for (const [ref, object] of document.objects) {
      if (object instanceof PDFStream) await this.#writeStream(writer, ref, object);
      else await writer.writeObject(ref, object);
      await this.#tools.pause?.();
    }
    await writer.finish(document.trailer);
  }

  /** One pass over the image for all panels, then one over each mask. */
  async #writeImage(image: CroppedImage): Promise<void> {
    const taking: ImageTaker[] = [];
    for (const [index, crop] of image.crops) {
      const panel = itemAt(this.#panels, index);
      const parts = panel.document.croppedParts(image);
      if (parts.length > 0) taking.push({ panel, crop, parts, mark: await panel.writer.mark() });
    }
    let takers: readonly ImageTaker[] = taking;
    for (const [part, { form, stream }] of image.parts.entries()) {
      const before = this.#done;
      const bytes = storedBytes(stream);
      const onRows = (row: number, rows: number): Promise<void> =>
        this.#advance(before + (bytes * row) / Math.max(1, rows) - this.#done);
      const refused =
        form.kind === 'jpeg2000'
          ? await this.#writeDecoded(form, stream, part, takers)
          : await this.#writeCrops(form, stream, part, takers, onRows);
      for (const [taker, problem] of refused) {
        await taker.panel.writer.rewind(taker.mark);
        await this.#keepWhole(taker.panel, image, problem);
      }
      takers = takers.filter((taker) => !refused.has(taker));
      await this.#advance(before + bytes - this.#done);
    }
    const decoded = image.parts.find(({ form }) => form.kind === 'jpeg2000');
    if (decoded) for (const { panel } of takers) panel.notes.push(decodedNote(decoded.form.image));
  }

  /** Returns the panels that must take the image whole, and why. */
  async #writeCrops(
    form: ImageForm,
    stream: PDFStream,
    part: number,
    takers: readonly ImageTaker[],
    onRows: (row: number, rows: number) => Promise<void>,
  ): Promise<Map<ImageTaker, ImageProblem>> {
    const sinks = takers.map(({ panel, parts }) => {
      const [ref, { dict }] = itemAt(parts, part);
      return new GatedSink(panel.writer.stream(ref, dict));
    });
    const cropped = await cropImage(
      form,
      takers.map(({ crop }) => itemAt(crop.pixels, part)),
      this.#artwork.file.streamChunks(stream),
      this.#tools.flate,
      sinks,
      onRows,
    );
    if (cropped.ok) return new Map();
    await Promise.all(sinks.map((sink) => sink.close()));
    return new Map(takers.map((taker) => [taker, cropped.problem]));
  }

  /** Packs the crops of a decoded image for each panel separately, to see whether each is smaller than the whole. */
  async #writeDecoded(
    form: ImageForm & { readonly kind: 'jpeg2000' },
    stream: PDFStream,
    part: number,
    takers: readonly ImageTaker[],
  ): Promise<Map<ImageTaker, ImageProblem>> {
    const { flate, pause } = this.#tools;
    const decoded = await decodedImage(form, this.#artwork.file.streamChunks(stream), flate);
    if (!decoded.ok) return new Map(takers.map((taker) => [taker, decoded.problem]));
    const refused = new Map<ImageTaker, ImageProblem>();
    const limit = storedBytes(stream);
    for (const taker of takers) {
      const packed = new ByteBuffer(1 << 16);
      const sink = {
        write: (bytes: Uint8Array): void => {
          if (packed.length < limit) packed.append(bytes);
        },
        end: () => undefined,
      };
      await decoded.value.crop(itemAt(taker.crop.pixels, part), sink, pause);
      if (packed.length >= limit) {
        refused.set(taker, IS_SMALLER_WHOLE);
        continue;
      }
      const [ref, { dict }] = itemAt(taker.parts, part);
      const out = taker.panel.writer.stream(ref, dict, packed.length);
      await out.write(packed.view());
      await out.end();
    }
    return refused;
  }

  /**
   * Which panels take which content: first the page's, then the forms in the order of their numbers, so that the order
   * does not depend on the other panels.
   */
  #contents(): Map<PDFStream | 'page', ContentTaker[]> {
    const takers = new Map<PDFStream | 'page', ContentTaker[]>();
    for (const panel of this.#panels) {
      for (const [ref, object] of panel.document.objects) {
        if (!(object instanceof PanelStream) || object.data.kind !== 'content') continue;
        const { from, cut } = object.data;
        const taker = { panel, ref, dict: object.dict, cut };
        const known = takers.get(from);
        if (known) known.push(taker);
        else takers.set(from, [taker]);
      }
    }
    return new Map([...takers].sort(([a], [b]) => contentNumber(a) - contentNumber(b)));
  }

  /** One pass over the content for all panels. */
  async #writeContent(from: PDFStream | 'page', takers: readonly ContentTaker[]): Promise<void> {
    const { flate, pause } = this.#tools;
    const taking = takers.map(({ panel, ref, dict, cut }) => {
      dict.set(PDFName.of('Filter'), PDFName.of('FlateDecode'));
      const insertions = cut ? cropInsertions(cut.images, panel.document.crops) : [];
      return {
        content: new KeptContent(cut?.gone() ?? [], insertions),
        sink: flate.deflate(panel.writer.stream(ref, dict)),
      };
    });
    const pieces = from === 'page' ? this.#page.pieces() : decodedPieces(this.#artwork.file, from);
    for await (const piece of pieces) {
      for (const { content, sink } of taking) {
        content.push(piece);
        await sink.write(content.kept.view());
        content.kept.clear();
        await pause?.();
      }
    }
    // In parallel, so that all threads pack.
    const ends = taking.map(async ({ content, sink }) => {
      content.end();
      await sink.write(content.kept.view());
      await sink.end();
    });
    for (const end of await Promise.allSettled(ends)) if (end.status === 'rejected') throw end.reason;
  }

  async #keepWhole({ document, notes }: Panel, image: CroppedImage, problem: ImageProblem): Promise<void> {
    await document.keepWhole(image);
    notes.push(wholeNote(image.parts[0].form.image, problem));
  }

  async #writeStream(writer: PdfWriter, ref: PDFRef, stream: PDFStream): Promise<void> {
    if (!(stream instanceof PanelStream)) {
      const contents = stream.getContents();
      const sink = writer.stream(ref, stream.dict, contents.length);
      await sink.write(contents);
      await sink.end();
      return;
    }
    const { data } = stream;
    if (data.kind === 'made') return writer.writePackedStream(ref, stream.dict, data.bytes());
    if (data.kind === 'cropped' || data.kind === 'content') return;
    const { file } = this.#artwork;
    const sink = writer.stream(ref, stream.dict, file.isEncrypted ? undefined : storedBytes(data.from));
    for await (const chunk of file.streamChunks(data.from)) {
      await sink.write(chunk);
      await this.#advance(chunk.length);
    }
    await sink.end();
  }

  async #advance(bytes: number): Promise<void> {
    this.#done += bytes;
    await this.#tools.onBytes?.(Math.min(this.#done, this.#total), this.#total);
  }
}

/** Lets nothing through after it is closed, because an abandoned image may still have bands in progress. */
class GatedSink implements ByteSink {
  readonly #sink: ByteSink;
  #last: Promise<void> | void = undefined;
  #isClosed = false;

  constructor(sink: ByteSink) {
    this.#sink = sink;
  }

  write(bytes: Uint8Array): Promise<void> | void {
    if (this.#isClosed) return;
    this.#last = this.#sink.write(bytes);
    return this.#last;
  }

  end(): Promise<void> | void {
    if (this.#isClosed) return;
    this.#last = this.#sink.end();
    return this.#last;
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    await this.#last;
  }
}

const contentNumber = (from: PDFStream | 'page'): number =>
  from instanceof StoredStream ? from.ref.objectNumber : -1;

const storedBytes = (stream: PDFStream): number =>
  stream instanceof StoredStream ? stream.length : stream.getContents().length;

const carriedBytes = (object: unknown): number =>
  object instanceof PanelStream && object.data.kind === 'carried' ? storedBytes(object.data.from) : 0;

/**
 * Walks content as a renderer does and lists what it paints (ISO 32000-1, 8.2). It measures no text and needs no fonts:
 * operators that move the pen count as part of the place of the next text.
 */
import { PDFDict, PDFName, type PDFObject, type PDFStream } from 'pdf-lib';
import { boxOf, matrixOf } from '../../pdf/content/object-numbers.ts';
import type { OptionalContent } from '../../pdf/content/optional-content.ts';
import { nameOf } from '../../pdf/file/dict-values.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { isPdfProblem, problemTooDeep, problemTooLarge } from '../../pdf/file/pdf-problem.ts';
import { matrixProduct, type SourceBox } from '../../pdf/page/page-space.ts';
import { type ContentHash, hashed, hashedText } from './content-hash.ts';
import { ContentReader } from './content-reader.ts';
import type { ObjectDigests } from './object-digests.ts';
import { PaintState } from './paint-state.ts';
import { boxesShared, boxOfUnit, boxThrough, NO_BOX } from './painted-boxes.ts';
import { type PaintedKind, PaintedSequence } from './painted-sequence.ts';
import { type AddedObject, StreamRun, type WalkOfRun } from './stream-run.ts';

export interface WalkedContent {
  readonly file: PdfFile;
  readonly digests: ObjectDigests;
  readonly layers: OptionalContent;
  readonly resources: PDFDict | undefined;
  readonly bytes: Uint8Array;
  /** The part of it that shows. */
  readonly box: SourceBox;
}

export interface WalkOptions {
  /** Indexes of the objects whose details are kept. */
  readonly details?: ReadonlySet<number>;
  /** Called and awaited now and then; it may throw to stop. */
  pause?(): Promise<void> | void;
  /**
   * Called for each object, in order, with a box around what certainly shows and a box around everything that may show;
   * undefined where that is not known.
   */
  paints?(shown: SourceBox | undefined, bound: SourceBox | undefined, around: AroundObject): void;
  /** Called before a form or image is painted; false skips it. */
  enters?(stream: PDFStream, state: PaintState): boolean;
}

/** Where an object is painted. */
export interface AroundObject {
  /** Everything that its clip may leave visible. */
  readonly clip: SourceBox;
  /** Whether its layers hide it when the file opens. */
  readonly isHidden: boolean;
}

/** @throws PdfProblem where the content has no end */
export async function paintedSequence(
  content: WalkedContent,
  options: WalkOptions = {},
): Promise<PaintedSequence> {
  const walk = new ContentWalk(content, options);
  const state = new PaintState([1, 0, 0, 1, 0, 0], content.box);
  await walk.run(content.bytes, content.resources, state, 0);
  return walk.painted;
}

const MAX_DEPTH = 48;
const MAX_WORK = 100_000_000;
const FORM_WORK = 100;
const BYTES_A_UNIT = 4;
const PAUSE_OPERATORS = 4096;

class ContentWalk implements WalkOfRun {
  readonly painted = new PaintedSequence();
  readonly #content: WalkedContent;
  readonly #options: WalkOptions;
  readonly #forms: PDFStream[] = [];
  #layer: ContentHash = 0;
  #hidden = 0;
  #work = 0;
  #operators = 0;

  constructor(content: WalkedContent, options: WalkOptions) {
    this.#content = content;
    this.#options = options;
  }

  get file(): PdfFile {
    return this.#content.file;
  }

  get digests(): ObjectDigests {
    return this.#content.digests;
  }

  async run(
    bytes: Uint8Array,
    resources: PDFDict | undefined,
    state: PaintState,
    depth: number,
  ): Promise<void> {
    if (depth > MAX_DEPTH) throw problemTooDeep(`The page nests forms more than ${MAX_DEPTH} deep.`);
    const defaults = await this.#content.digests.defaultSpaces(resources);
    const stream = new StreamRun(this, resources, state, defaults, depth);
    const reader = new ContentReader(bytes);
    const [layer, hidden] = [this.#layer, this.#hidden];
    while (reader.next()) {
      if (++this.#operators % PAUSE_OPERATORS === 0) await this.#options.pause?.();
      this.#countWork(1);
      const waiting = stream.take(reader);
      if (waiting) await waiting;
    }
    [this.#layer, this.#hidden] = [layer, hidden];
  }

  add(
    kind: PaintedKind,
    shape: ContentHash,
    color: ContentHash,
    style: ContentHash,
    state: PaintState,
    { box, bound, place = state.get('place'), words = '' }: AddedObject,
  ): number {
    this.#options.paints?.(box && boxesShared(box, state.clip), bound && boxesShared(bound, state.clipHull), {
      clip: state.clipHull,
      isHidden: this.#hidden > 0,
    });
    const aspects = {
      shape: hashedText(shape, kind),
      place,
      clip: state.get('clip'),
      color: hashed(color, state.rendering),
      overprint: state.overprint,
      transparency: state.transparency,
      layer: this.#layer,
      style,
    };
    const index = this.painted.add(aspects, box && boxesShared(box, state.clip));
    if (this.#options.details?.has(index)) {
      const detail = { ...aspects, kind, ctm: state.ctm, colorWords: words, isVisible: this.#hidden === 0 };
      this.painted.details.set(index, detail);
    }
    return index;
  }

  async beginLayer(layer: PDFObject | undefined): Promise<boolean> {
    const isVisible = await this.#content.layers.isVisible(layer);
    this.#layer = hashed(hashed(this.#layer, await this.#content.digests.of(layer)), isVisible ? 1 : 2);
    if (!isVisible) this.#hidden++;
    return isVisible;
  }

  get layer(): ContentHash {
    return this.#layer;
  }

  endLayer(before: ContentHash, wasVisible: boolean): void {
    this.#layer = before;
    if (!wasVisible) this.#hidden--;
  }

  /** Lists a form with everything that it paints, or an image. */
  async paintObject(
    stream: PDFStream,
    state: PaintState,
    resources: PDFDict | undefined,
    defaults: ContentHash,
    depth: number,
  ): Promise<void> {
    if (this.#options.enters?.(stream, state) === false) return;
    const { file, digests } = this.#content;
    const layer = stream.dict.get(PDFName.of('OC'));
    const before = this.#layer;
    const isVisible = layer === undefined || (await this.beginLayer(layer));
    if (nameOf(await file.entry(stream.dict, 'Subtype')) === 'Image') {
      const isStencil = (await file.entry(stream.dict, 'ImageMask'))?.toString() === 'true';
      const color = isStencil ? state.get('fill') : defaults;
      const settings = await digests.imageSettings(stream);
      const box = boxOfUnit(state.ctm);
      // The place of a crop is compared by numbers, together with its samples.
      const index = this.add('image', settings, color, 0, state, { box, bound: box, place: 0 });
      this.painted.images.set(index, { stream, ctm: state.ctm });
    } else {
      await this.#paintForm(stream, state.copy(), resources, depth);
    }
    this.endLayer(before, isVisible);
  }

  async #paintForm(
    stream: PDFStream,
    state: PaintState,
    around: PDFDict | undefined,
    depth: number,
  ): Promise<void> {
    const { file, digests } = this.#content;
    if (this.#forms.includes(stream)) return;
    const { dict } = stream;
    const settings = await digests.formSettings(stream);
    const matrix = await matrixOf(dict.get(PDFName.of('Matrix')), file);
    if (matrix) {
      state.ctm = matrixProduct(matrix, state.ctm);
      state.set('place', hashed(state.get('place'), await digests.of(dict.get(PDFName.of('Matrix')))));
    }
    const box = await boxOf(dict.get(PDFName.of('BBox')), file);
    if (box) {
      state.clip = boxesShared(boxThrough(box, state.ctm), state.clip);
      state.clipHull = boxesShared(boxThrough(box, state.ctm), state.clipHull);
      const outline = hashed(await digests.of(dict.get(PDFName.of('BBox'))), state.get('place'));
      state.set('clip', hashed(state.get('clip'), outline));
    }
    const group = await file.entry(dict, 'Group');
    if (group instanceof PDFDict) {
      state.set('group', hashed(hashed(state.get('group'), settings), state.transparency));
      this.add('group', settings, 0, 0, state, { bound: NO_BOX });
    }
    let bytes: Uint8Array;
    try {
      bytes = (await file.streamDecoded(stream)).bytes;
    } catch (error) {
      if (!isPdfProblem(error)) throw error;
      this.painted.troubles.push(error.message);
      return;
    }
    this.#countWork(FORM_WORK + bytes.length / BYTES_A_UNIT);
    const own = await file.entry(dict, 'Resources');
    this.#forms.push(stream);
    await this.run(bytes, own instanceof PDFDict ? own : around, state, depth + 1);
    this.#forms.pop();
  }

  #countWork(units: number): void {
    this.#work += units;
    if (this.#work > MAX_WORK)
      throw problemTooLarge(
        'The page draws more than a hundred million operations, mostly the same over and over.',
      );
  }
}

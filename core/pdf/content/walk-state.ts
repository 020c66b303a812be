/** What the walks through a page's streams share: resources, decoded content, and the count of work done. */
import type { PDFDict, PDFStream } from 'pdf-lib';
import type { PdfObjects } from '../file/pdf-objects.ts';
import { problemTooLarge } from '../file/pdf-problem.ts';
import type { Matrix, SourceBox } from '../page/page-space.ts';
import type { Font, Type3Glyphs } from './font.ts';
import type { OptionalContent } from './optional-content.ts';
import type { ContentVisitor } from './painted.ts';
import { ContentResources, fontLoader } from './resources.ts';

/** The start of a walk: a page, or anything else that has content and resources. */
export interface WalkedPage {
  readonly objects: PdfObjects;
  /** Decoded content streams, in order; they may split between any two tokens. */
  contents(): AsyncIterable<Uint8Array>;
  readonly resources: PDFDict | undefined;
  /** The part of the page that shows, in its user space: the first clip. */
  readonly box: SourceBox;
  readonly layers: OptionalContent;
  /**
   * Called and awaited every few thousand operators, so that other work gets its turn; it may throw to stop the walk.
   */
  readonly pause?: (() => Promise<void>) | undefined;
}

/**
 * About a minute's work, counted in operators. Forms that place forms can multiply without end; no real drawing comes
 * near.
 */
const MAX_WORK = 100_000_000;
/** Entering a form, and reading this many bytes of it, each count as work, no matter what the form contains. */
const FORM_WORK = 100;
const BYTES_A_UNIT = 4;
/** A few milliseconds' work. */
const PAUSE_OPERATORS = 4096;
/** Limit for decoded forms kept for the next placement. */
const MAX_KEPT_BYTES = 64 << 20;

export class Walk {
  readonly objects: PdfObjects;
  readonly layers: OptionalContent;
  readonly visitor: ContentVisitor;
  readonly pause: WalkedPage['pause'];
  readonly fontOf: (dict: PDFDict) => Promise<Font>;
  /** Patterns and masks already walked, by object and map. */
  readonly #walked = new Map<object, Set<string>>();
  readonly #resources = new Map<PDFDict, ContentResources>();
  readonly #contents = new Map<PDFStream, Uint8Array>();
  readonly #glyphBoxes = new Map<Type3Glyphs, Map<number, SourceBox>>();
  #contentBytes = 0;
  #operators = 0;
  #work = 0;

  constructor(page: Pick<WalkedPage, 'objects' | 'layers' | 'pause'>, visitor: ContentVisitor) {
    this.pause = page.pause;
    this.objects = page.objects;
    this.layers = page.layers;
    this.visitor = visitor;
    this.fontOf = fontLoader(page.objects);
  }

  /** Another walk with the same shared data, for another visitor. */
  sibling(visitor: ContentVisitor): Walk {
    const sibling = new Walk(this, visitor);
    sibling.#operators = this.#operators;
    sibling.#work = this.#work;
    return sibling;
  }

  /** Boxes of Type 3 glyphs measured so far, by code. */
  glyphBoxes(type3: Type3Glyphs): Map<number, SourceBox> {
    let boxes = this.#glyphBoxes.get(type3);
    if (boxes === undefined) {
      boxes = new Map();
      this.#glyphBoxes.set(type3, boxes);
    }
    return boxes;
  }

  resourcesOf(dict: PDFDict | undefined): ContentResources {
    const known = dict === undefined ? undefined : this.#resources.get(dict);
    if (known !== undefined) return known;
    const resources = new ContentResources(dict, this.objects, this.fontOf);
    if (dict !== undefined) this.#resources.set(dict, resources);
    return resources;
  }

  /** A promise to await, now and then. */
  countOperator(): Promise<void> | undefined {
    this.countWork(1);
    return ++this.#operators % PAUSE_OPERATORS === 0 ? this.pause?.() : undefined;
  }

  /** @throws PdfProblem when the page takes more work than any drawing. */
  countWork(units: number): void {
    this.#work += units;
    if (this.#work > MAX_WORK) {
      throw problemTooLarge(
        'The page draws more than a hundred million operations, mostly the same over and over.',
      );
    }
  }

  countForm(content: Uint8Array): void {
    this.countWork(FORM_WORK + content.length / BYTES_A_UNIT);
  }

  /** True the first time that this object occurs with this map. */
  isFirst(object: object, m: Matrix): boolean {
    const key = m.map((value) => value.toPrecision(6)).join(' ');
    const keys = this.#walked.get(object) ?? new Set<string>();
    this.#walked.set(object, keys);
    if (keys.has(key)) return false;
    keys.add(key);
    return true;
  }

  async content(stream: PDFStream): Promise<Uint8Array> {
    const known = this.#contents.get(stream);
    if (known !== undefined) return known;
    const { bytes } = await this.objects.streamDecoded(stream);
    this.#contents.set(stream, bytes);
    this.#contentBytes += bytes.length;
    for (const [oldest, old] of this.#contents) {
      if (this.#contentBytes <= MAX_KEPT_BYTES || oldest === stream) break;
      this.#contents.delete(oldest);
      this.#contentBytes -= old.length;
    }
    return bytes;
  }
}

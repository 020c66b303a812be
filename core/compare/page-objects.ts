/**
 * The objects that a page of an artwork paints, for comparing two artworks: for each object a number and where it may
 * show.
 */
import { PDFName } from 'pdf-lib';
import { contentPageFrom } from '../pdf/content/content-page.ts';
import type { Artwork } from '../pdf/document/artwork.ts';
import { isPdfProblem } from '../pdf/file/pdf-problem.ts';
import type { SourceBox } from '../pdf/page/page-space.ts';
import { type ContentHash, hashed } from '../verify/structure/content-hash.ts';
import { paintedSequence } from '../verify/structure/content-walk.ts';
import { ObjectDigests } from '../verify/structure/object-digests.ts';
import { boxThrough } from '../verify/structure/painted-boxes.ts';
import type { PaintedImage } from '../verify/structure/painted-sequence.ts';
import { pageToWalk } from '../verify/structure/panel-document.ts';

/** Called and awaited now and then; it may throw to stop. */
export type Pause = () => Promise<void> | void;

export interface PageObjects {
  readonly prints: Float64Array;
  /** Four numbers per object: the box around everything of it that may show. */
  readonly bounds: Float64Array;
  /** 1 for an object that a layer hides. */
  readonly hidden: Uint8Array;
  readonly images: ReadonlyMap<number, PaintedImage>;
  /** The page's group, which says how the page is blended as a whole. */
  readonly group: ContentHash;
  /** The page's print condition. */
  readonly condition: ContentHash;
  /** Whether the whole page could be read. */
  readonly isRead: boolean;
}

const NOTHING_READ: PageObjects = {
  prints: new Float64Array(),
  bounds: new Float64Array(),
  hidden: new Uint8Array(),
  images: new Map(),
  group: 0,
  condition: 0,
  isRead: false,
};

/** An artwork whose pages are each read once. */
export class ComparedArtwork {
  readonly artwork: Artwork;
  readonly digests: ObjectDigests;
  readonly #pages = new Map<number, Promise<PageObjects>>();

  constructor(artwork: Artwork) {
    this.artwork = artwork;
    this.digests = new ObjectDigests(artwork.file, { isOfFileWrittenAnew: true });
  }

  /** The objects of a page, counted from 1. */
  objects(page: number, pause: Pause): Promise<PageObjects> {
    const known = this.#pages.get(page);
    if (known) return known;
    const read = this.#read(page, pause);
    this.#pages.set(page, read);
    return read;
  }

  async #read(number: number, pause: Pause): Promise<PageObjects> {
    const { file, pages } = this.artwork;
    const source = pages[number - 1]?.page;
    if (!source) return NOTHING_READ;
    const bounds = new GrowingNumbers();
    const hidden: number[] = [];
    try {
      const { box } = await contentPageFrom(file, source);
      const painted = await paintedSequence(await pageToWalk(file, source, this.digests, box), {
        pause,
        paints(_shown, bound, { clip, isHidden }) {
          const { x0, y0, x1, y1 } = bound ?? clip;
          bounds.add(x0, y0, x1, y1);
          hidden.push(isHidden ? 1 : 0);
        },
      });
      const prints = new Float64Array(painted.count);
      for (let i = 0; i < painted.count; i++) prints[i] = painted.print(i);
      // The hash of a picture does not include its place, because a crop on a panel has another one. Between two
      // artworks the place counts, so it is added.
      for (const [i, { ctm }] of painted.images)
        for (const value of ctm) prints[i] = hashed(prints[i]!, value);
      return {
        prints,
        bounds: bounds.numbers,
        hidden: Uint8Array.from(hidden),
        images: painted.images,
        ...(await this.#settings(number)),
        isRead: painted.troubles.length === 0,
      };
    } catch (error) {
      if (!isPdfProblem(error)) throw error;
      return NOTHING_READ;
    }
  }

  async #settings(number: number): Promise<Pick<PageObjects, 'group' | 'condition'>> {
    const { dict } = this.artwork.pages[number - 1]!.page;
    const catalog = await this.artwork.file.catalog();
    const intents = PDFName.of('OutputIntents');
    const ofPage = await this.digests.of(dict.get(intents));
    return {
      group: await this.digests.of(dict.get(PDFName.of('Group'))),
      condition: hashed(ofPage, await this.digests.of(catalog.get(intents))),
    };
  }
}

export const objectBound = ({ bounds }: PageObjects, index: number): SourceBox => ({
  x0: bounds[4 * index]!,
  y0: bounds[4 * index + 1]!,
  x1: bounds[4 * index + 2]!,
  y1: bounds[4 * index + 3]!,
});

/** Whether an object may show in a window; lines along its edge count. */
export function mayShowIn({ bounds }: PageObjects, index: number, { x0, y0, x1, y1 }: SourceBox): boolean {
  const at = 4 * index;
  return (
    bounds[at]! <= x1 &&
    bounds[at + 2]! >= x0 &&
    bounds[at + 1]! <= y1 &&
    bounds[at + 3]! >= y0 &&
    bounds[at + 2]! >= bounds[at]! &&
    bounds[at + 3]! >= bounds[at + 1]!
  );
}

/** The box on the page of a part of a picture, which is given in its unit square. */
export const boxOfPart = (part: SourceBox, { ctm }: Pick<PaintedImage, 'ctm'>): SourceBox =>
  boxThrough(part, ctm);

const FIRST_CAPACITY = 4096;

class GrowingNumbers {
  #numbers = new Float64Array(FIRST_CAPACITY);
  #length = 0;

  add(...values: number[]): void {
    if (this.#length + values.length > this.#numbers.length) {
      const grown = new Float64Array(2 * this.#numbers.length);
      grown.set(this.#numbers);
      this.#numbers = grown;
    }
    for (const value of values) this.#numbers[this.#length++] = value;
  }

  get numbers(): Float64Array {
    return this.#numbers.slice(0, this.#length);
  }
}

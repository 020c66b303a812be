import type { PDFStream } from 'pdf-lib';
import { isWhite } from '../file/syntax.ts';

/** A stretch of bytes of a content stream. */
export interface ByteRange {
  readonly start: number;
  readonly end: number;
}

/** What stays of one content stream for one window. */
export interface StreamCut {
  /** The shortened content; undefined where all of it stays. */
  readonly bytes: Uint8Array | undefined;
  /** The same, or all of the stream. */
  readonly content: Uint8Array;
  /** Where in `content` images are painted, in order. */
  readonly images: readonly ImageUse[];
}

/** An image painted by `Do`: the bytes of its name and of the operator. */
export interface ImageUse extends ByteRange {
  readonly image: PDFStream;
}

/** Something painted, by operators from `start` to `end`, and one bit for each window that it touches. */
export interface Painting {
  readonly start: number;
  readonly end: number;
  readonly mask: number;
  readonly isRemovable: boolean;
  readonly isText: boolean;
  /** Operators that set the font and patterns it is painted with. */
  readonly setters: readonly Item[];
}

/** A range of bytes that can go where no window of `mask` is asked for. */
export interface Item {
  readonly start: number;
  end: number;
  /** One bit for each window that needs it. */
  mask: number;
  /** Must stay whatever its mask. */
  isPinned: boolean;
}

/** A show operator, with the operators that set what it is shown with. */
interface Show {
  readonly item: Item;
  readonly setters: readonly Item[];
}

interface OpenBlock {
  readonly item: Item;
  readonly textDepth: number;
  readonly markedDepth: number;
}

const LINE_FEED = 0x0a;

/**
 * What of one content stream each window needs. A stream may be walked several times, as a form placed twice is:
 * a range is needed when any of its runs needs it.
 *
 * Ranges that can go: painting operators by themselves; `q … Q` with everything inside, because `Q` undoes what
 * was set there; and the show operators of a text object, when none of them is needed.
 */
export class StreamRecord {
  readonly content: Uint8Array;
  /** Nothing may be left out: it is also used where its extent is not known. */
  isWhole = false;
  readonly #items: Item[] = [];
  readonly #byStart = new Map<number, Item>();
  #sorted: readonly Item[] | undefined;
  readonly #images = new Map<number, ImageUse>();
  #blocks: OpenBlock[] = [];
  #shows: Show[] = [];
  #textDepth = 0;
  #markedDepth = 0;

  constructor(content: Uint8Array) {
    this.content = content;
  }

  /** Begins another run through the stream. */
  begin(): void {
    this.#blocks = [];
    this.#shows = [];
    this.#textDepth = 0;
    this.#markedDepth = 0;
  }

  /** Ends a run; what is still open has no end and stays. */
  end(): void {
    for (const block of this.#blocks) block.item.isPinned = true;
    this.#endShows();
  }

  addOperator(name: string, start: number, end: number): void {
    switch (name) {
      case 'q': {
        const item = this.#item(start, start);
        // Saving inside a text object is against the rules; such blocks are left alone.
        if (this.#textDepth > 0) item.isPinned = true;
        this.#blocks.push({ item, textDepth: this.#textDepth, markedDepth: this.#markedDepth });
        return;
      }
      case 'Q':
        this.#endBlock(end);
        return;
      case 'BT':
        this.#endShows();
        this.#textDepth++;
        return;
      case 'ET':
        this.#endShows();
        this.#textDepth--;
        return;
      case 'BMC':
      case 'BDC':
        this.#markedDepth++;
        return;
      case 'EMC':
        this.#markedDepth--;
    }
  }

  addPainting(painting: Painting): void {
    const { start, end, mask, isRemovable, isText, setters } = painting;
    const block = this.#blocks.at(-1);
    if (block !== undefined) {
      block.item.mask |= mask;
      // A path begun outside the block would lose its end with it.
      if (start < block.item.start) block.item.isPinned = true;
    }
    const item = this.#item(start, end);
    item.mask |= mask;
    if (!isRemovable) item.isPinned = true;
    for (const setter of setters) setter.mask |= isRemovable ? mask : -1;
    if (isText) this.#shows.push({ item, setters });
  }

  addImage(use: ImageUse): void {
    this.#images.set(use.start, use);
  }

  /** Whether `cm` is out of place here (ISO 32000-1, Figure 9). */
  get isInText(): boolean {
    return this.#textDepth > 0;
  }

  /** An operator that sets a font or pattern: it can go where nothing that was painted with it stays. */
  setter(start: number, end = start): Item {
    return this.#item(start, end);
  }

  /** What the window of that bit needs. */
  cut(bit: number): StreamCut {
    const { content } = this;
    const images = [...this.#images.values()].sort((a, b) => a.start - b.start);
    const gone = this.isWhole ? [] : this.#ranges(bit);
    if (gone.length === 0) return { bytes: undefined, content, images };
    const kept = without(content, gone, images);
    return { bytes: kept.content, ...kept };
  }

  #item(start: number, end: number): Item {
    let item = this.#byStart.get(start);
    if (item === undefined) {
      item = { start, end, mask: 0, isPinned: false };
      this.#byStart.set(start, item);
      this.#items.push(item);
      this.#sorted = undefined;
    }
    item.end = Math.max(item.end, end);
    return item;
  }

  #endBlock(end: number): void {
    const block = this.#blocks.pop();
    if (block === undefined) return;
    const { item } = block;
    item.end = Math.max(item.end, end);
    if (block.textDepth !== this.#textDepth || block.markedDepth !== this.#markedDepth) item.isPinned = true;
    const around = this.#blocks.at(-1);
    if (around === undefined) return;
    around.item.mask |= item.mask;
    if (item.isPinned) around.item.isPinned = true;
  }

  /** The shows of one text object go together or not at all: each moves the pen for the next. */
  #endShows(): void {
    const mask = this.#shows.reduce((all, show) => all | show.item.mask, 0);
    const isPinned = this.#shows.some((show) => show.item.isPinned);
    for (const { item, setters } of this.#shows) {
      item.mask |= mask;
      item.isPinned ||= isPinned;
      for (const setter of setters) setter.mask |= isPinned ? -1 : mask;
    }
    this.#shows = [];
  }

  /** The ranges that go, in order and apart. */
  #ranges(bit: number): Item[] {
    this.#sorted ??= this.#items.toSorted((a, b) => a.start - b.start || b.end - a.end);
    const gone: Item[] = [];
    let end = -1;
    for (const item of this.#sorted) {
      if (item.start < end || item.isPinned || item.end <= item.start || (item.mask & bit) !== 0) continue;
      gone.push(item);
      end = item.end;
    }
    return gone;
  }
}

/** The bytes outside the ranges; one line feed stands for what goes, so that no two tokens join. */
function without(
  content: Uint8Array,
  ranges: readonly ByteRange[],
  images: readonly ImageUse[],
): Pick<StreamCut, 'content' | 'images'> {
  const gone = ranges.reduce((total, range) => total + range.end - range.start, 0);
  const kept = new Uint8Array(content.length - gone + ranges.length);
  const keptImages: ImageUse[] = [];
  let from = 0;
  let to = 0;
  let next = 0;
  const keep = (end: number): void => {
    kept.set(content.subarray(from, end), to);
    for (; next < images.length && images[next]!.start < end; next++) {
      const { image, start, end: imageEnd } = images[next]!;
      if (start >= from) keptImages.push({ image, start: start - from + to, end: imageEnd - from + to });
    }
    to += end - from;
  };
  for (const range of ranges) {
    // White space alone between two ranges goes with them.
    if (from === 0 || !isWhiteOnly(content, from, range.start)) {
      keep(range.start);
      kept[to++] = LINE_FEED;
    }
    from = range.end;
  }
  keep(content.length);
  return { content: kept.slice(0, to), images: keptImages };
}

function isWhiteOnly(content: Uint8Array, start: number, end: number): boolean {
  for (let at = start; at < end; at++) if (!isWhite(content[at]!)) return false;
  return true;
}

import type { PDFName, PDFStream } from 'pdf-lib';
import { type ByteRange, ItemTable } from './item-table.ts';
import { nameFromWritten } from './operand-names.ts';

/** What remains of one content stream for one window. */
export interface StreamCut {
  /** Whether all of the stream stays. */
  readonly isWhole: boolean;
  /** The ranges to remove, in order, not touching each other. */
  readonly gone: () => Iterable<ByteRange>;
  /** Places where remaining images are painted, in order. */
  readonly images: readonly ImageUse[];
  /** Names that are operands of the remaining operators. */
  readonly names: ReadonlySet<PDFName>;
}

/** An image painted by `Do`: the range of its name and the operator. */
export interface ImageUse extends ByteRange {
  readonly image: PDFStream;
}

/**
 * A painted object: its operators begin at `start` and stop at `end`; the mask has one bit for each window that it
 * touches.
 */
export interface Painting {
  readonly start: number;
  readonly end: number;
  readonly mask: number;
  readonly isRemovable: boolean;
  readonly isText: boolean;
  /** Operators that set its font, colors and patterns. */
  readonly setters: readonly SetterItem[];
}

/** An operator that sets something, at its place in the stream. */
export interface SetterItem {
  readonly record: StreamRecord;
  readonly item: number;
}

/** A show operator and the operators that set its font and colors. */
interface Show {
  readonly item: number;
  readonly setters: readonly SetterItem[];
}

interface OpenBlock {
  readonly item: number;
  readonly textDepth: number;
  readonly markedDepth: number;
}

/**
 * Records which parts of one content stream each window needs. A stream may be walked several times, as a form that is
 * placed twice is: a range is needed when any of its passes needs it.
 *
 * Ranges that can be removed: single painting operators; `q … Q` with everything inside, because `Q` undoes what was
 * set there; and the show operators of a text object, when none of them is needed.
 */
export class StreamRecord {
  /** Nothing may be left out: the stream is also used where its extent is unknown. */
  isWhole = false;
  readonly #items = new ItemTable();
  readonly #images = new Map<number, ImageUse>();
  /** Each name in the stream, and its position in order. */
  readonly #names = new Map<string, number>();
  readonly #nameStarts: number[] = [];
  readonly #nameNumbers: number[] = [];
  #blocks: OpenBlock[] = [];
  #shows: Show[] = [];
  #textDepth = 0;
  #markedDepth = 0;

  /** Begins another pass through the stream. */
  begin(): void {
    this.#blocks = [];
    this.#shows = [];
    this.#textDepth = 0;
    this.#markedDepth = 0;
  }

  /** Ends a pass. Blocks that are still open have no end and stay. */
  end(): void {
    for (const block of this.#blocks) this.#items.pin(block.item);
    this.#endShows();
  }

  addOperator(name: string, start: number, end: number): void {
    switch (name) {
      case 'q': {
        const item = this.#items.item(start, start);
        // Saving inside a text object breaks the rules; such blocks are left alone.
        if (this.#textDepth > 0) this.#items.pin(item);
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

  addNames(names: readonly string[], start: number): void {
    // A later pass through the stream meets names that an earlier one has stored.
    if (start <= (this.#nameStarts.at(-1) ?? -1)) return;
    for (const name of names) {
      let number = this.#names.get(name);
      if (number === undefined) {
        number = this.#names.size;
        this.#names.set(name, number);
      }
      this.#nameStarts.push(start);
      this.#nameNumbers.push(number);
    }
  }

  addPainting(painting: Painting): void {
    const { start, end, mask, isRemovable, isText, setters } = painting;
    const items = this.#items;
    const block = this.#blocks.at(-1);
    if (block !== undefined) {
      items.addMask(block.item, mask);
      // A path that began outside the block would lose its end if the block were removed.
      if (start < items.start(block.item)) items.pin(block.item);
    }
    const item = items.item(start, end);
    items.addMask(item, mask);
    if (!isRemovable) items.pin(item);
    for (const setter of setters) setter.record.needSetter(setter.item, isRemovable ? mask : -1);
    if (isText) this.#shows.push({ item, setters });
  }

  /** The windows of `mask` show something painted with what the operator set. */
  needSetter(item: number, mask: number): void {
    this.#items.addMask(item, mask);
  }

  addImage(use: ImageUse): void {
    this.#images.set(use.start, use);
  }

  /** Whether `cm` is not allowed here (ISO 32000-1, Figure 9). */
  get isInText(): boolean {
    return this.#textDepth > 0;
  }

  /** An operator that sets a font, color or pattern. It can be removed where nothing painted with it stays. */
  setter(start: number, end = start): SetterItem {
    return { record: this, item: this.#items.item(start, end) };
  }

  /** The parts that the window of that bit needs. */
  cut(bit: number): StreamCut {
    const gone = (): Iterable<ByteRange> => (this.isWhole ? [] : this.#items.unneeded(bit));
    const isWhole = gone()[Symbol.iterator]().next().done === true;
    const images = [...this.#images.values()].sort((a, b) => a.start - b.start);
    const kept = numbersOutside(this.#nameStarts, this.#nameNumbers, gone());
    const names = [...this.#names].filter(([, number]) => kept.has(number));
    return {
      isWhole,
      gone,
      images: images.length === 0 ? images : outside(images, gone()),
      names: new Set(names.map(([name]) => nameFromWritten(name))),
    };
  }

  #endBlock(end: number): void {
    const block = this.#blocks.pop();
    if (block === undefined) return;
    const items = this.#items;
    const item = items.item(items.start(block.item), end);
    if (block.textDepth !== this.#textDepth || block.markedDepth !== this.#markedDepth) items.pin(item);
    const around = this.#blocks.at(-1);
    if (around === undefined) return;
    items.addMask(around.item, items.mask(item));
    if (items.isPinned(item)) items.pin(around.item);
  }

  /** The shows of one text object are removed together or not at all, because each moves the pen for the next. */
  #endShows(): void {
    const items = this.#items;
    const mask = this.#shows.reduce((all, show) => all | items.mask(show.item), 0);
    const isPinned = this.#shows.some((show) => items.isPinned(show.item));
    for (const { item, setters } of this.#shows) {
      items.addMask(item, mask);
      if (isPinned) items.pin(item);
      for (const setter of setters) setter.record.needSetter(setter.item, isPinned ? -1 : mask);
    }
    this.#shows = [];
  }
}

/** The images outside the ranges; both are in order. */
function outside(images: readonly ImageUse[], gone: Iterable<ByteRange>): ImageUse[] {
  const kept: ImageUse[] = [];
  let next = 0;
  for (const { start, end } of gone) {
    for (; next < images.length && images[next]!.start < start; next += 1) kept.push(images[next]!);
    while (next < images.length && images[next]!.start < end) next += 1;
  }
  return [...kept, ...images.slice(next)];
}

/** The numbers whose starts are outside the ranges. */
function numbersOutside(
  starts: readonly number[],
  numbers: readonly number[],
  gone: Iterable<ByteRange>,
): Set<number> {
  const kept = new Set<number>();
  let next = 0;
  for (const { start, end } of gone) {
    if (next === starts.length) return kept;
    for (; next < starts.length && starts[next]! < start; next += 1) kept.add(numbers[next]!);
    while (next < starts.length && starts[next]! < end) next += 1;
  }
  for (; next < starts.length; next += 1) kept.add(numbers[next]!);
  return kept;
}

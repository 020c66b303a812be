/**
 * What content paints, in order: for each object a number that is equal where everything about the object, including
 * its place, is equal.
 */
import type { PDFStream } from 'pdf-lib';
import type { Matrix, SourceBox } from '../../pdf/page/page-space.ts';
import { type ContentHash, hashed } from './content-hash.ts';

/** A number for each part of an object, to say which part has changed. */
export interface PaintedAspects {
  readonly shape: ContentHash;
  readonly place: ContentHash;
  readonly clip: ContentHash;
  readonly color: ContentHash;
  readonly overprint: ContentHash;
  readonly transparency: ContentHash;
  readonly layer: ContentHash;
  readonly style: ContentHash;
}

export type PaintedKind = 'path' | 'text' | 'image' | 'inline image' | 'shading' | 'group';

/** An object in words; only kept for a few. */
export interface PaintedDetail extends PaintedAspects {
  readonly kind: PaintedKind;
  readonly ctm: Matrix;
  readonly colorWords: string;
  readonly isVisible: boolean;
}

export interface PaintedImage {
  readonly stream: PDFStream;
  /** Maps its unit square to the space of the page. */
  readonly ctm: Matrix;
}

const FIRST_CAPACITY = 1024;

/** The painted objects in typed arrays; a million objects take 50 MB. */
export class PaintedSequence {
  count = 0;
  readonly images = new Map<number, PaintedImage>();
  /** The objects whose details are kept, set by index before the walk. */
  readonly details = new Map<number, PaintedDetail>();
  /** Content that could not be read, so that nothing is known about it. */
  readonly troubles: string[] = [];
  #prints = new Float64Array(FIRST_CAPACITY);
  #shapes = new Float64Array(FIRST_CAPACITY);
  #boxes = new Float32Array(4 * FIRST_CAPACITY);

  add(aspects: PaintedAspects, box: SourceBox | undefined): number {
    const index = this.count++;
    if (index === this.#prints.length) this.#grow();
    let print = 0;
    print = hashed(print, aspects.shape);
    print = hashed(print, aspects.place);
    print = hashed(print, aspects.clip);
    print = hashed(print, aspects.color);
    print = hashed(print, aspects.overprint);
    print = hashed(print, aspects.transparency);
    print = hashed(print, aspects.layer);
    print = hashed(print, aspects.style);
    this.#prints[index] = print;
    this.#shapes[index] = aspects.shape;
    const at = 4 * index;
    this.#boxes[at] = box?.x0 ?? Number.NaN;
    this.#boxes[at + 1] = box?.y0 ?? Number.NaN;
    this.#boxes[at + 2] = box?.x1 ?? Number.NaN;
    this.#boxes[at + 3] = box?.y1 ?? Number.NaN;
    return index;
  }

  print(index: number): ContentHash {
    return this.#prints[index]!;
  }

  shape(index: number): ContentHash {
    return this.#shapes[index]!;
  }

  /** The box that certainly shows within its clip; undefined where that is unknown or empty. */
  box(index: number): SourceBox | undefined {
    const at = 4 * index;
    const [x0, y0, x1, y1] = this.#boxes.subarray(at, at + 4) as unknown as [number, number, number, number];
    return x1 >= x0 && y1 >= y0 ? { x0, y0, x1, y1 } : undefined;
  }

  /** Whether it certainly shows in a window. */
  isWithin(index: number, { x0, y0, x1, y1 }: SourceBox): boolean {
    const at = 4 * index;
    const boxes = this.#boxes;
    return (
      boxes[at]! <= boxes[at + 2]! &&
      boxes[at + 1]! <= boxes[at + 3]! &&
      boxes[at]! <= x1 &&
      boxes[at + 2]! >= x0 &&
      boxes[at + 1]! <= y1 &&
      boxes[at + 3]! >= y0
    );
  }

  #grow(): void {
    const grown = <T extends Float64Array | Float32Array>(from: T, to: T): T => {
      to.set(from);
      return to;
    };
    this.#prints = grown(this.#prints, new Float64Array(2 * this.#prints.length));
    this.#shapes = grown(this.#shapes, new Float64Array(2 * this.#shapes.length));
    this.#boxes = grown(this.#boxes, new Float32Array(2 * this.#boxes.length));
  }
}

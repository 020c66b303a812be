/** Reduces a picture by averaging while its rows are read: the mean of every area is kept. */
import type { PictureForm } from './picture-samples.ts';

/** More pixels than this add nothing at the resolution of a coverage. */
const MAX_PIXELS = 4_000_000;

export interface PickedImage {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Light as DeviceGray or DeviceRGB, 8 bits a sample. */
  readonly samples: Uint8Array;
}

export interface AveragedForm extends Pick<PictureForm, 'widthPx' | 'heightPx' | 'decode' | 'components'> {
  /** Whether samples are amounts of ink; if not, they are light. */
  readonly isInk: boolean;
}

/** Pixels along an edge that are averaged into one at every drawing size. */
export const averagingFactor = ({ widthPx, heightPx }: Pick<PictureForm, 'widthPx' | 'heightPx'>): number =>
  Math.max(1, Math.ceil(Math.sqrt((widthPx * heightPx) / MAX_PIXELS)));

export class RowAverages {
  readonly #form: AveragedForm;
  readonly #factor: number;
  readonly #width: number;
  readonly #height: number;
  readonly #samples: Uint8ClampedArray;
  readonly #sums: Uint32Array;
  #rows = 0;

  constructor(form: AveragedForm, factor: number) {
    this.#form = form;
    this.#factor = factor;
    this.#width = Math.ceil(form.widthPx / factor);
    this.#height = Math.ceil(form.heightPx / factor);
    this.#samples = new Uint8ClampedArray(this.#width * this.#height * form.components);
    this.#sums = new Uint32Array(this.#width * form.components);
  }

  get isDone(): boolean {
    return this.#rows === this.#form.heightPx;
  }

  /** Adds the next row: 8 bits per sample, from `start` on. */
  push(bytes: Uint8Array, start = 0): void {
    const { components, widthPx } = this.#form;
    ROW_SUMS[components]!(this.#sums, bytes, start, widthPx, this.#factor);
    this.#rows += 1;
    if (this.#rows % this.#factor === 0 || this.isDone) this.#giveMeans();
  }

  image(): PickedImage {
    return { widthPx: this.#width, heightPx: this.#height, samples: new Uint8Array(this.#samples.buffer) };
  }

  #giveMeans(): void {
    const { widthPx, decode, components, isInk } = this.#form;
    const factor = this.#factor;
    const rows = ((this.#rows - 1) % factor) + 1;
    const start = Math.floor((this.#rows - 1) / factor) * this.#width * components;
    const lows = Float64Array.from(decode, ([low]) => (isInk ? 1 - low : low));
    const spans = Float64Array.from(decode, ([low, high]) => (isInk ? low - high : high - low));
    for (let column = 0, at = 0; column < this.#width; column += 1) {
      const count = rows * (Math.min(widthPx, (column + 1) * factor) - column * factor);
      for (let part = 0; part < components; part += 1, at += 1) {
        this.#samples[start + at] = 255 * (lows[part]! + (this.#sums[at]! / count / 255) * spans[part]!);
      }
    }
    this.#sums.fill(0);
  }
}

type RowSums = (sums: Uint32Array, bytes: Uint8Array, start: number, widthPx: number, factor: number) => void;

/**
 * Functions that add a row's samples, `factor` pixels to a sum, by number of components: every sample of a picture
 * passes through here.
 */
const ROW_SUMS: Readonly<Record<number, RowSums>> = { 1: addGrays, 3: addThrees, 4: addFours };

/** Numbers of components that can be averaged. */
export const canAverage = (components: number): boolean => components in ROW_SUMS;

function addGrays(
  sums: Uint32Array,
  bytes: Uint8Array,
  start: number,
  widthPx: number,
  factor: number,
): void {
  for (let at = 0, x = 0; x < widthPx; at += 1) {
    const end = Math.min(widthPx, x + factor);
    let sum = 0;
    for (; x < end; x += 1) sum += bytes[start + x]!;
    sums[at]! += sum;
  }
}

function addThrees(
  sums: Uint32Array,
  bytes: Uint8Array,
  start: number,
  widthPx: number,
  factor: number,
): void {
  let from = start;
  for (let at = 0, x = 0; x < widthPx; at += 3) {
    const end = Math.min(widthPx, x + factor);
    let a = 0;
    let b = 0;
    let c = 0;
    for (; x < end; x += 1, from += 3) {
      a += bytes[from]!;
      b += bytes[from + 1]!;
      c += bytes[from + 2]!;
    }
    sums[at]! += a;
    sums[at + 1]! += b;
    sums[at + 2]! += c;
  }
}

function addFours(
  sums: Uint32Array,
  bytes: Uint8Array,
  start: number,
  widthPx: number,
  factor: number,
): void {
  let from = start;
  for (let at = 0, x = 0; x < widthPx; at += 4) {
    const end = Math.min(widthPx, x + factor);
    let a = 0;
    let b = 0;
    let c = 0;
    let d = 0;
    for (; x < end; x += 1, from += 4) {
      a += bytes[from]!;
      b += bytes[from + 1]!;
      c += bytes[from + 2]!;
      d += bytes[from + 3]!;
    }
    sums[at]! += a;
    sums[at + 1]! += b;
    sums[at + 2]! += c;
    sums[at + 3]! += d;
  }
}

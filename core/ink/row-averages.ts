/** A picture of four inks made smaller by averages while its rows go by: the mean of every area stays as it was. */
import type { PictureForm } from './picture-samples.ts';

export const INKS = 4;
/** More pixels than this show nothing at the resolution of a coverage. */
const MAX_PIXELS = 4_000_000;

export interface PickedImage {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Light as DeviceGray or DeviceRGB, 8 bits a sample. */
  readonly samples: Uint8Array;
}

type SizedForm = Pick<PictureForm, 'widthPx' | 'heightPx' | 'decode'>;

/** Pixels along an edge that become one. */
export const averagingFactor = ({ widthPx, heightPx }: Pick<PictureForm, 'widthPx' | 'heightPx'>): number =>
  Math.max(1, Math.ceil(Math.sqrt((widthPx * heightPx) / MAX_PIXELS)));

export class RowAverages {
  readonly #form: SizedForm;
  readonly #factor: number;
  readonly #width: number;
  readonly #height: number;
  readonly #samples: Uint8ClampedArray;
  readonly #sums: Uint32Array;
  #rows = 0;

  constructor(form: SizedForm) {
    this.#form = form;
    this.#factor = averagingFactor(form);
    this.#width = Math.ceil(form.widthPx / this.#factor);
    this.#height = Math.ceil(form.heightPx / this.#factor);
    this.#samples = new Uint8ClampedArray(this.#width * this.#height * INKS);
    this.#sums = new Uint32Array(this.#width * INKS);
  }

  get isDone(): boolean {
    return this.#rows === this.#form.heightPx;
  }

  /** The next row: 8 bits a sample, from `start` on. */
  push(bytes: Uint8Array, start = 0): void {
    addRow(this.#sums, bytes, start, this.#form.widthPx, this.#factor);
    this.#rows += 1;
    if (this.#rows % this.#factor === 0 || this.isDone) this.#giveMeans();
  }

  image(): PickedImage {
    return { widthPx: this.#width, heightPx: this.#height, samples: new Uint8Array(this.#samples.buffer) };
  }

  #giveMeans(): void {
    const { widthPx, decode } = this.#form;
    const factor = this.#factor;
    const rows = ((this.#rows - 1) % factor) + 1;
    const start = Math.floor((this.#rows - 1) / factor) * this.#width * INKS;
    const lows = Float64Array.from(decode, ([low]) => low);
    const spans = Float64Array.from(decode, ([low, high]) => high - low);
    for (let column = 0, at = 0; column < this.#width; column += 1) {
      const count = rows * (Math.min(widthPx, (column + 1) * factor) - column * factor);
      for (let ink = 0; ink < INKS; ink += 1, at += 1) {
        const share = lows[ink]! + (this.#sums[at]! / count / 255) * spans[ink]!;
        this.#samples[start + at] = 255 * (1 - share);
      }
    }
    this.#sums.fill(0);
  }
}

/** Adds a row's samples, ink by ink, `factor` pixels to a sum: every sample of a picture passes here. */
function addRow(sums: Uint32Array, bytes: Uint8Array, start: number, widthPx: number, factor: number): void {
  let from = start;
  for (let at = 0, x = 0; x < widthPx; at += INKS) {
    const end = Math.min(widthPx, x + factor);
    let a = 0;
    let b = 0;
    let c = 0;
    let d = 0;
    for (; x < end; x += 1, from += INKS) {
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

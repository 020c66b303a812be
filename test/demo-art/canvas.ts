import type { PDFRef } from 'pdf-lib';
import { type ArtDocument, type Entries, ResourceSet } from './art-document.ts';
import { type Ink, SPOT_ALTERNATE, SPOT_NAME } from './palette.ts';
import type { Path, XY } from './path.ts';

/** The artwork is drawn at a tenth of its finished size. */
export const DRAWING_SCALE = 10;
/** Points on the page for one finished millimeter. */
export const PT_PER_FINISHED_MM = 72 / 25.4 / DRAWING_SCALE;

/**
 * Where a side lies on its page: the page point of its bottom left corner, its finished size, and whether
 * x counts from the right, as it does on the side whose front faces right.
 */
export interface Frame {
  readonly left: number;
  readonly bottom: number;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly mirrored: boolean;
}

export type Matrix = readonly [number, number, number, number, number, number];

/** What an area is filled with: an ink, or a pattern under its resource name. */
export type Paint = Ink | { readonly kind: 'pattern'; readonly name: string; readonly ref: PDFRef };

export interface StrokeStyle {
  /** Round ends and corners, for limbs and roads. */
  readonly round?: boolean;
  readonly dashMm?: readonly number[];
}

/**
 * Writes a content stream. All positions are finished millimeters from the side's top left corner, y down
 * (top right where the frame is mirrored).
 */
export class Canvas {
  readonly document: ArtDocument;
  readonly frame: Frame;
  readonly resources: ResourceSet;
  private readonly operators: string[];

  constructor(document: ArtDocument, frame: Frame, shared?: Canvas) {
    this.document = document;
    this.frame = frame;
    this.resources = shared?.resources ?? new ResourceSet();
    this.operators = shared?.operators ?? [];
  }

  /** The same content stream with x counted from the left, for lettering. */
  get upright(): Canvas {
    return new Canvas(this.document, { ...this.frame, mirrored: false }, this);
  }

  get content(): string {
    return `${this.operators.join('\n')}\n`;
  }

  /** Finished millimeters to page points. */
  get matrix(): Matrix {
    const { left, bottom, widthMm, heightMm, mirrored } = this.frame;
    const k = PT_PER_FINISHED_MM;
    return [mirrored ? -k : k, 0, 0, -k, mirrored ? left + widthMm * k : left, bottom + heightMm * k];
  }

  point(x: number, y: number): XY {
    const [a, , , d, e, f] = this.matrix;
    return [a * x + e, d * y + f];
  }

  write(operator: string): void {
    this.operators.push(operator);
  }

  fill(paint: Paint, path: Path, rule: 'nonzero' | 'evenodd' = 'nonzero'): void {
    this.write(this.paintOperator(paint, 'fill'));
    this.trace(path);
    this.write(rule === 'evenodd' ? 'f*' : 'f');
  }

  stroke(paint: Paint, widthMm: number, path: Path, style: StrokeStyle = {}): void {
    const cap = style.round ? 1 : 0;
    this.write(`q ${numbers(widthMm * PT_PER_FINISHED_MM)} w ${cap} J ${cap} j`);
    if (style.dashMm) this.write(`[${numbers(...style.dashMm.map((mm) => mm * PT_PER_FINISHED_MM))}] 0 d`);
    this.write(this.paintOperator(paint, 'stroke'));
    this.trace(path);
    this.write('S Q');
  }

  clip(path: Path, body: () => void): void {
    this.write('q');
    this.trace(path);
    this.write('W n');
    body();
    this.write('Q');
  }

  /** Runs `body` under a graphics state such as a blend mode, a soft mask or overprint. */
  withState(name: string, entries: Entries, body: () => void): void {
    const ref = this.document.once(`state ${name} ${JSON.stringify(entries)}`, () =>
      this.document.add({ Type: 'ExtGState', ...entries }),
    );
    this.write(`q ${this.resources.use('ExtGState', name, ref)} gs`);
    body();
    this.write('Q');
  }

  /** Places a picture on a rectangle. On a mirrored frame the picture is mirrored with everything else. */
  placePicture(name: string, ref: PDFRef, x: number, y: number, width: number, height: number): void {
    const [x0, y0] = this.point(x, y + height);
    const [x1, y1] = this.point(x + width, y);
    this.write(`q ${numbers(x1 - x0, 0, 0, y1 - y0, x0, y0)} cm`);
    this.write(`${this.resources.use('XObject', name, ref)} Do Q`);
  }

  /** Marks what `body` draws as belonging to a layer. */
  withLayer(name: string, group: PDFRef, body: () => void): void {
    this.write(`/OC ${this.resources.use('Properties', name, group)} BDC`);
    body();
    this.write('EMC');
  }

  paintOperator(paint: Paint, use: 'fill' | 'stroke'): string {
    const isFill = use === 'fill';
    if (paint.kind === 'process') {
      const parts = numbers(paint.c / 100, paint.m / 100, paint.y / 100, paint.k / 100);
      return `${parts} ${isFill ? 'k' : 'K'}`;
    }
    if (paint.kind === 'spot') {
      const name = this.resources.use('ColorSpace', 'AlderRed', spotColorSpace(this.document));
      return `${name} ${isFill ? 'cs' : 'CS'} ${numbers(paint.tint / 100)} ${isFill ? 'scn' : 'SCN'}`;
    }
    if (paint.kind === 'gray') return `${numbers(paint.level / 100)} ${isFill ? 'g' : 'G'}`;
    const name = this.resources.use('Pattern', paint.name, paint.ref);
    return `/Pattern ${isFill ? 'cs' : 'CS'} ${name} ${isFill ? 'scn' : 'SCN'}`;
  }

  private trace(path: Path): void {
    for (const step of path) {
      if (step[0] === 'Z') this.write('h');
      else if (step[0] === 'C') {
        const ends = [
          this.point(step[1], step[2]),
          this.point(step[3], step[4]),
          this.point(step[5], step[6]),
        ];
        this.write(`${numbers(...ends.flat())} c`);
      } else this.write(`${numbers(...this.point(step[1], step[2]))} ${step[0] === 'M' ? 'm' : 'l'}`);
    }
  }
}

/** Operands with at most three decimals: 0.001 pt is 0.004 mm finished. */
export const numbers = (...values: readonly number[]): string =>
  values.map((value) => String(Number(value.toFixed(3)) + 0)).join(' ');

/** The house red as a Separation space; its tint runs from bare film to the stand-in mix. */
export function spotColorSpace(document: ArtDocument): PDFRef {
  const { c, m, y, k } = SPOT_ALTERNATE;
  return document.once('spot', () =>
    document.add([
      'Separation',
      SPOT_NAME,
      'DeviceCMYK',
      {
        FunctionType: 2,
        Domain: [0, 1],
        C0: [0, 0, 0, 0],
        C1: [c / 100, m / 100, y / 100, k / 100],
        N: 1,
      },
    ]),
  );
}

import type { Rect } from '../../measure/rect.ts';
import { MM_PER_PT, type Mm } from '../../measure/units.ts';

/** A rectangle in a page's own user space, y up, corners in order: PDF's `[x0 y0 x1 y1]`. */
export interface SourceBox {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** Clockwise turn of a page when it is shown. */
export type PageRotation = 0 | 90 | 180 | 270;

/** An affine map as PDF writes it: x' = a·x + c·y + e, y' = b·x + d·y + f. */
export type Matrix = readonly [a: number, b: number, c: number, d: number, e: number, f: number];

/** The map that applies `first`, then `second`. */
export function matrixProduct(first: Matrix, second: Matrix): Matrix {
  const [a, b, c, d, e, f] = first;
  const [A, B, C, D, E, F] = second;
  return [a * A + b * C, a * B + b * D, c * A + d * C, c * B + d * D, e * A + f * C + E, e * B + f * D + F];
}

export const matrixPoint = (m: Matrix, x: number, y: number): [number, number] => [
  m[0] * x + m[2] * y + m[4],
  m[1] * x + m[3] * y + m[5],
];

/** The inverse map, or undefined where the matrix flattens the plane. */
export function matrixInverse(m: Matrix): Matrix | undefined {
  const [a, b, c, d, e, f] = m;
  const determinant = a * d - b * c;
  if (!Number.isFinite(1 / determinant)) return undefined;
  return [
    d / determinant,
    -b / determinant,
    -c / determinant,
    a / determinant,
    (c * f - d * e) / determinant,
    (b * e - a * f) / determinant,
  ];
}

/**
 * The one change of coordinates between a page's user space and drawn space: it knows the box, Rotate
 * and UserUnit, and nothing else does.
 *
 *     user space (y up, turned)            drawn space (mm, y down, upright)
 *
 *        y ▲   ┌────────┐ x1,y1               (0,0) ┌────────┐ → x
 *          │   │  box   │          ──────▶          │  box   │
 *          │   └────────┘                           └────────┘
 *          └──▶ x  x0,y0                              ↓ y
 */
export class PageSpace {
  /** The box whose top left corner, as shown, is the origin of drawn space. */
  readonly box: SourceBox;
  readonly rotation: PageRotation;
  readonly userUnit: number;

  constructor(box: SourceBox, rotation: PageRotation, userUnit: number) {
    this.box = box;
    this.rotation = rotation;
    this.userUnit = userUnit;
  }

  /** Drawn millimeters per unit of user space. */
  get mmPerUnit(): number {
    return this.userUnit * MM_PER_PT;
  }

  get widthMm(): Mm {
    const { x0, y0, x1, y1 } = this.box;
    return (this.rotation % 180 === 0 ? x1 - x0 : y1 - y0) * this.mmPerUnit;
  }

  get heightMm(): Mm {
    const { x0, y0, x1, y1 } = this.box;
    return (this.rotation % 180 === 0 ? y1 - y0 : x1 - x0) * this.mmPerUnit;
  }

  /** User space → drawn mm. The four cases follow from turning the page clockwise about its box. */
  get toDrawn(): Matrix {
    const { x0, y0, x1, y1 } = this.box;
    const k = this.mmPerUnit;
    const turned: Record<PageRotation, Matrix> = {
      0: [k, 0, 0, -k, -x0 * k, y1 * k],
      90: [0, k, k, 0, -y0 * k, -x0 * k],
      180: [-k, 0, 0, k, x1 * k, -y0 * k],
      270: [0, -k, -k, 0, y1 * k, x1 * k],
    };
    return turned[this.rotation];
  }

  rectFromBox(box: SourceBox): Rect<'drawn'> {
    const [ax, ay] = matrixPoint(this.toDrawn, box.x0, box.y0);
    const [bx, by] = matrixPoint(this.toDrawn, box.x1, box.y1);
    return { x: Math.min(ax, bx), y: Math.min(ay, by), width: Math.abs(bx - ax), height: Math.abs(by - ay) };
  }

  boxFromRect(rect: Rect<'drawn'>): SourceBox {
    const [ax, ay] = this.#pointFromDrawn(rect.x, rect.y);
    const [bx, by] = this.#pointFromDrawn(rect.x + rect.width, rect.y + rect.height);
    return boxFromCorners(ax, ay, bx, by);
  }

  #pointFromDrawn(x: Mm, y: Mm): [number, number] {
    const { x0, y0, x1, y1 } = this.box;
    const k = this.mmPerUnit;
    switch (this.rotation) {
      case 0:
        return [x0 + x / k, y1 - y / k];
      case 90:
        return [x0 + y / k, y0 + x / k];
      case 180:
        return [x1 - x / k, y0 + y / k];
      case 270:
        return [x1 - y / k, y1 - x / k];
    }
  }
}

/** Corners may come in any order (ISO 32000-1, 7.9.5). */
export const boxFromCorners = (ax: number, ay: number, bx: number, by: number): SourceBox => ({
  x0: Math.min(ax, bx),
  y0: Math.min(ay, by),
  x1: Math.max(ax, bx),
  y1: Math.max(ay, by),
});

/** The shared area, or undefined where there is none. */
export function boxIntersection(a: SourceBox, b: SourceBox): SourceBox | undefined {
  const x0 = Math.max(a.x0, b.x0);
  const y0 = Math.max(a.y0, b.y0);
  const x1 = Math.min(a.x1, b.x1);
  const y1 = Math.min(a.y1, b.y1);
  return x1 > x0 && y1 > y0 ? { x0, y0, x1, y1 } : undefined;
}

/** The smallest box that holds both. */
export const boxUnion = (a: SourceBox, b: SourceBox): SourceBox => ({
  x0: Math.min(a.x0, b.x0),
  y0: Math.min(a.y0, b.y0),
  x1: Math.max(a.x1, b.x1),
  y1: Math.max(a.y1, b.y1),
});

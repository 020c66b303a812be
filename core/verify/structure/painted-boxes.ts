/**
 * Boxes of what certainly shows. They are never too large, so that nothing counts as lost that a panel may leave out.
 */
import { type Matrix, matrixPoint, type SourceBox } from '../../pdf/page/page-space.ts';

export const NO_BOX: SourceBox = { x0: Infinity, y0: Infinity, x1: -Infinity, y1: -Infinity };

/** Box of points that are certainly on a path. */
export class PointBox {
  #x0 = Number.POSITIVE_INFINITY;
  #y0 = Number.POSITIVE_INFINITY;
  #x1 = Number.NEGATIVE_INFINITY;
  #y1 = Number.NEGATIVE_INFINITY;

  add([a, b, c, d, e, f]: Matrix, x: number, y: number): void {
    const px = a * x + c * y + e;
    const py = b * x + d * y + f;
    if (px < this.#x0) this.#x0 = px;
    if (py < this.#y0) this.#y0 = py;
    if (px > this.#x1) this.#x1 = px;
    if (py > this.#y1) this.#y1 = py;
  }

  get box(): SourceBox | undefined {
    if (this.#x1 < this.#x0) return undefined;
    return { x0: this.#x0, y0: this.#y0, x1: this.#x1, y1: this.#y1 };
  }
}

export function boxesShared(a: SourceBox, b: SourceBox): SourceBox {
  return {
    x0: Math.max(a.x0, b.x0),
    y0: Math.max(a.y0, b.y0),
    x1: Math.min(a.x1, b.x1),
    y1: Math.min(a.y1, b.y1),
  };
}

export function boxThrough({ x0, y0, x1, y1 }: SourceBox, ctm: Matrix): SourceBox {
  const points = new PointBox();
  for (const x of [x0, x1]) for (const y of [y0, y1]) points.add(ctm, x, y);
  return points.box ?? NO_BOX;
}

/** The box, enlarged by this much on each side. */
export const boxWidened = ({ x0, y0, x1, y1 }: SourceBox, by: number): SourceBox => ({
  x0: x0 - by,
  y0: y0 - by,
  x1: x1 + by,
  y1: y1 + by,
});

/**
 * Glyphs of any font stay within these shares of its size above and below the line, and begin at most this far before
 * it.
 */
const ASCENT = 1.2;
const DESCENT = 0.4;
const BEARING = 0.5;
/** Larger than any page. */
const ENDLESS = 1e6;

/** The band in which text of a line can be, however long it is; undefined where the line slopes on the page. */
export function boxOfLine(line: Matrix, fontSize: number): SourceBox | undefined {
  const [a, b, c, d] = line;
  const isAlongAxis = Math.min(Math.abs(a), Math.abs(b)) < 1e-9 && Math.min(Math.abs(c), Math.abs(d)) < 1e-9;
  if (!isAlongAxis || fontSize <= 0) return undefined;
  return boxThrough(
    { x0: -BEARING * fontSize, y0: -DESCENT * fontSize, x1: ENDLESS, y1: ASCENT * fontSize },
    line,
  );
}

export const boxOfUnit = (ctm: Matrix): SourceBox => boxThrough({ x0: 0, y0: 0, x1: 1, y1: 1 }, ctm);

export function pointThrough(x: number, y: number, ctm: Matrix): SourceBox {
  const [px, py] = matrixPoint(ctm, x, y);
  return { x0: px, y0: py, x1: px, y1: py };
}

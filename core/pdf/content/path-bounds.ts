import type { Matrix, SourceBox } from '../page/page-space.ts';
import { boxGrown, matrixReach, NOWHERE } from './bounds.ts';

/** Line ends and corners, by their numbers in PDF. */
const SQUARE_CAP = 2;
const MITER_JOIN = 0;

/** The parts of the graphics state that decide how far a stroke extends. */
export interface StrokeStyle {
  readonly ctm: Matrix;
  readonly lineWidth: number;
  readonly lineCap: number;
  readonly lineJoin: number;
  readonly miterLimit: number;
}

/**
 * The extents of the path under construction, updated with each operator; no points are stored. Curves count by their
 * true extrema. Only the sharpest corner is kept, for strokes with mitered joins.
 */
export class PathBounds {
  #x0 = Infinity;
  #y0 = Infinity;
  #x1 = -Infinity;
  #y1 = -Infinity;
  /** Current point and start of the subpath, in user space. */
  #x = 0;
  #y = 0;
  #startX = 0;
  #startY = 0;
  /** Direction of the last segment and of the subpath's first, user space, not normalized. */
  #dx = 0;
  #dy = 0;
  #firstDx = 0;
  #firstDy = 0;
  /** Cosine of the smallest angle between two segments that meet: -1 is straight, 1 turns back. */
  #sharpest = -1;
  #isUpright = true;

  clear(): void {
    this.#x0 = this.#y0 = Infinity;
    this.#x1 = this.#y1 = -Infinity;
    this.#dx = this.#dy = this.#firstDx = this.#firstDy = 0;
    this.#sharpest = -1;
    this.#isUpright = true;
  }

  get isEmpty(): boolean {
    return this.#x1 < this.#x0;
  }

  /** The area inside the path. */
  get fillBox(): SourceBox {
    return this.isEmpty ? NOWHERE : { x0: this.#x0, y0: this.#y0, x1: this.#x1, y1: this.#y1 };
  }

  /** The area of the path including its line. */
  strokeBox(style: StrokeStyle): SourceBox {
    if (this.isEmpty) return NOWHERE;
    let reach = style.lineWidth / 2;
    const [a, b, c, d] = style.ctm;
    // Upright lines with square corners extend exactly half their width, unless the page turns them.
    const isSquare = this.#isUpright && ((b === 0 && c === 0) || (a === 0 && d === 0));
    if (!isSquare) {
      let factor = style.lineCap === SQUARE_CAP ? Math.SQRT2 : 1;
      if (style.lineJoin === MITER_JOIN) {
        // A miter is 1 ÷ sin(half the angle) half widths long (ISO 32000-1, 8.4.3.5), or cut off as a bevel.
        const sine = Math.sqrt(Math.max(0, (1 - this.#sharpest) / 2));
        const miter = 1 / Math.max(sine, 1e-6);
        factor = Math.max(factor, miter <= style.miterLimit ? miter : 1);
      }
      reach *= factor;
    }
    const [x, y] = matrixReach(style.ctm);
    return boxGrown(this.fillBox, reach * x, reach * y);
  }

  moveTo(m: Matrix, x: number, y: number): void {
    this.#add(m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]);
    this.#x = this.#startX = x;
    this.#y = this.#startY = y;
    this.#dx = this.#dy = this.#firstDx = this.#firstDy = 0;
  }

  lineTo(m: Matrix, x: number, y: number): void {
    this.#add(m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]);
    this.#turn(x - this.#x, y - this.#y);
    this.#x = x;
    this.#y = y;
  }

  curveTo(m: Matrix, x1: number, y1: number, x2: number, y2: number, x3: number, y3: number): void {
    const x0 = this.#x;
    const y0 = this.#y;
    const px = m[0] * x0 + m[2] * y0 + m[4];
    const py = m[1] * x0 + m[3] * y0 + m[5];
    const qx = m[0] * x3 + m[2] * y3 + m[4];
    const qy = m[1] * x3 + m[3] * y3 + m[5];
    this.#add(qx, qy);
    this.#addCurve(px, m[0] * x1 + m[2] * y1 + m[4], m[0] * x2 + m[2] * y2 + m[4], qx, true);
    this.#addCurve(py, m[1] * x1 + m[3] * y1 + m[5], m[1] * x2 + m[3] * y2 + m[5], qy, false);
    // The tangents at the ends point to the control points; where those coincide with an end, to the next point.
    if (x1 !== x0 || y1 !== y0) this.#turn(x1 - x0, y1 - y0);
    else this.#turn(x2 - x0, y2 - y0);
    if (x3 !== x2 || y3 !== y2) this.#setDirection(x3 - x2, y3 - y2);
    else this.#setDirection(x3 - x1, y3 - y1);
    this.#isUpright = false;
    this.#x = x3;
    this.#y = y3;
  }

  /** `v`: the first control point is the current point. */
  curveFromCurrent(m: Matrix, x2: number, y2: number, x3: number, y3: number): void {
    this.curveTo(m, this.#x, this.#y, x2, y2, x3, y3);
  }

  addRectangle(m: Matrix, x: number, y: number, width: number, height: number): void {
    this.moveTo(m, x, y);
    this.lineTo(m, x + width, y);
    this.lineTo(m, x + width, y + height);
    this.lineTo(m, x, y + height);
    this.close();
  }

  close(): void {
    this.#turn(this.#startX - this.#x, this.#startY - this.#y);
    this.#turn(this.#firstDx, this.#firstDy);
    this.#x = this.#startX;
    this.#y = this.#startY;
    this.#dx = this.#dy = this.#firstDx = this.#firstDy = 0;
  }

  #turn(dx: number, dy: number): void {
    if (dx === 0 && dy === 0) return;
    if (dx !== 0 && dy !== 0) this.#isUpright = false;
    if (this.#dx !== 0 || this.#dy !== 0) {
      const lengths = Math.sqrt((dx * dx + dy * dy) * (this.#dx * this.#dx + this.#dy * this.#dy));
      // The angle at the corner is between the reversed last segment and the next one.
      const cosine = -(dx * this.#dx + dy * this.#dy) / lengths;
      if (cosine > this.#sharpest) this.#sharpest = cosine;
    } else {
      this.#firstDx = dx;
      this.#firstDy = dy;
    }
    this.#dx = dx;
    this.#dy = dy;
  }

  #setDirection(dx: number, dy: number): void {
    if (dx === 0 && dy === 0) return;
    this.#dx = dx;
    this.#dy = dy;
  }

  #add(x: number, y: number): void {
    if (x < this.#x0) this.#x0 = x;
    if (x > this.#x1) this.#x1 = x;
    if (y < this.#y0) this.#y0 = y;
    if (y > this.#y1) this.#y1 = y;
  }

  /** One coordinate of a Bézier curve. The curve can leave the box of its ends only where a control point does. */
  #addCurve(p0: number, p1: number, p2: number, p3: number, isX: boolean): void {
    const low = isX ? this.#x0 : this.#y0;
    const high = isX ? this.#x1 : this.#y1;
    if (p1 >= low && p1 <= high && p2 >= low && p2 <= high) return;
    const a = p3 - p0 + 3 * (p1 - p2);
    const b = 2 * (p0 - 2 * p1 + p2);
    const c = p1 - p0;
    const root = Math.sqrt(b * b - 4 * a * c);
    const times = Math.abs(a) < 1e-12 ? [-c / b] : [(-b + root) / (2 * a), (-b - root) / (2 * a)];
    for (const t of times) {
      if (!(t > 0 && t < 1)) continue;
      const s = 1 - t;
      const value = s * s * s * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t * t * t * p3;
      if (isX) {
        this.#x0 = Math.min(this.#x0, value);
        this.#x1 = Math.max(this.#x1, value);
      } else {
        this.#y0 = Math.min(this.#y0, value);
        this.#y1 = Math.max(this.#y1, value);
      }
    }
  }
}

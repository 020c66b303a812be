/**
 * Maps the plane of a photo to the plane of a side: a homography from points whose places on both are known.
 *
 *     (x, y) on the side  =  (u / w, v / w)   with   (u, v, w) = H · (xPx, yPx, 1)
 *
 * ```ts
 * // A photo of 400 × 300 px that shows 2,000 × 1,500 mm squarely.
 * const pair = (x, y) => ({ from: { x, y }, to: { x: 5 * x, y: 5 * y } });
 * const toSide = homographyFromPairs([pair(0, 0), pair(400, 0), pair(400, 300), pair(0, 300)]);
 * Math.round(homographyApplied(toSide, { x: 100, y: 60 }).x); // → 500
 * ```
 */
import { Matrix, SVD } from 'ml-matrix';
import { firstOf, itemAt } from '../measure/present.ts';

/** Rows of a 3 × 3 matrix in sequence. */
export type Homography = readonly [number, number, number, number, number, number, number, number, number];

export interface PlanePoint {
  readonly x: number;
  readonly y: number;
}

export interface PointPair {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
}

/** A smaller ratio of the eighth to the first singular value means that other planes fit as well: the points do not determine one. */
const LEAST_CERTAINTY = 1e-6;

/**
 * The homography that fits the pairs best; exact for four. Undefined where there are fewer, or so many are on one line
 * that others fit as well.
 *
 * Normalized direct linear transform: Hartley and Zisserman, Multiple View Geometry, second edition, algorithm 4.2
 * (from memory).
 */
export function homographyFromPairs(pairs: readonly PointPair[]): Homography | undefined {
  if (pairs.length < 4) return undefined;
  const from = normalizing(pairs.map((pair) => pair.from));
  const to = normalizing(pairs.map((pair) => pair.to));
  if (!from || !to) return undefined;
  const rows = pairs.flatMap((pair) => {
    const a = homographyApplied(from, pair.from);
    const b = homographyApplied(to, pair.to);
    return [
      [0, 0, 0, -a.x, -a.y, -1, b.y * a.x, b.y * a.y, b.y],
      [a.x, a.y, 1, 0, 0, 0, -b.x * a.x, -b.x * a.y, -b.x],
    ];
  });
  // With eight rows (four pairs) the last singular vector, which is the result, would be undetermined.
  while (rows.length < 9) rows.push(new Array<number>(9).fill(0));
  const svd = new SVD(new Matrix(rows));
  const values = svd.diagonal;
  if (!(itemAt(values, 7) > LEAST_CERTAINTY * firstOf(values))) return undefined;
  const fitted = svd.rightSingularVectors.getColumn(8) as unknown as Homography;
  const back = homographyInverse(to);
  const whole = back && product(back, product(fitted, from));
  return whole && homographyInverse(whole) && whole;
}

/**
 * The shift, rotation and scale that fit the pairs best, for a photo taken square to the side. Undefined where there
 * are fewer than two pairs, or all are at one place.
 */
export function similarityFromPairs(pairs: readonly PointPair[]): Homography | undefined {
  const mean = (points: readonly PlanePoint[]): PlanePoint => ({
    x: points.reduce((sum, { x }) => sum + x, 0) / points.length,
    y: points.reduce((sum, { y }) => sum + y, 0) / points.length,
  });
  const [a, b] = [mean(pairs.map(({ from }) => from)), mean(pairs.map(({ to }) => to))];
  let [along, across, spread] = [0, 0, 0];
  for (const { from, to } of pairs) {
    const [fx, fy, tx, ty] = [from.x - a.x, from.y - a.y, to.x - b.x, to.y - b.y];
    along += fx * tx + fy * ty;
    across += fx * ty - fy * tx;
    spread += fx * fx + fy * fy;
  }
  if (pairs.length < 2 || !(spread > 0) || (along === 0 && across === 0)) return undefined;
  const [c, s] = [along / spread, across / spread];
  return [c, -s, b.x - c * a.x + s * a.y, s, c, b.y - s * a.x - c * a.y, 0, 0, 1];
}

export function homographyApplied(h: Homography, { x, y }: PlanePoint): PlanePoint {
  const w = homographyDepth(h, { x, y });
  return { x: (h[0] * x + h[1] * y + h[2]) / w, y: (h[3] * x + h[4] * y + h[5]) / w };
}

/** Its sign changes at the horizon: points in front of the camera have one sign, points behind it the other. */
export const homographyDepth = (h: Homography, { x, y }: PlanePoint): number => h[6] * x + h[7] * y + h[8];

/** 0 where it maps the whole plane to a line. */
export const homographyDeterminant = ([a, b, c, d, e, f, g, i, k]: Homography): number =>
  a * (e * k - f * i) + b * (f * g - d * k) + c * (d * i - e * g);

/** Undefined where it maps the whole plane to a line. */
export function homographyInverse(h: Homography): Homography | undefined {
  const [a, b, c, d, e, f, g, i, k] = h;
  const determinant = homographyDeterminant(h);
  if (!(Math.abs(determinant) > 0) || !Number.isFinite(determinant)) return undefined;
  const over = (value: number): number => value / determinant;
  return [
    over(e * k - f * i),
    over(c * i - b * k),
    over(b * f - c * e),
    over(f * g - d * k),
    over(a * k - c * g),
    over(c * d - a * f),
    over(d * i - e * g),
    over(b * g - a * i),
    over(a * e - b * d),
  ];
}

/** Applies `b`, then `a`. */
function product(a: Homography, b: Homography): Homography {
  const cell = (row: number, column: number): number =>
    itemAt(a, 3 * row) * itemAt(b, column) +
    itemAt(a, 3 * row + 1) * itemAt(b, 3 + column) +
    itemAt(a, 3 * row + 2) * itemAt(b, 6 + column);
  return [
    cell(0, 0),
    cell(0, 1),
    cell(0, 2),
    cell(1, 0),
    cell(1, 1),
    cell(1, 2),
    cell(2, 0),
    cell(2, 1),
    cell(2, 2),
  ];
}

/**
 * Moves the points to their center and scales them to a mean distance of √2 from it; undefined where all are at one
 * place.
 */
function normalizing(points: readonly PlanePoint[]): Homography | undefined {
  const middle = {
    x: points.reduce((sum, { x }) => sum + x, 0) / points.length,
    y: points.reduce((sum, { y }) => sum + y, 0) / points.length,
  };
  const distance =
    points.reduce((sum, { x, y }) => sum + Math.hypot(x - middle.x, y - middle.y), 0) / points.length;
  if (!(distance > 0)) return undefined;
  const scale = Math.SQRT2 / distance;
  return [scale, 0, -scale * middle.x, 0, scale, -scale * middle.y, 0, 0, 1];
}

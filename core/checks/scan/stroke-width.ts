import type { Matrix } from '../../pdf/page/page-space.ts';

/**
 * How wide a line of width 1 is drawn where it is drawn thinnest: the smaller singular value of the matrix. A page that
 * is stretched one way only makes thick and thin strokes of one pen.
 */
export function thinnestStroke([a, b, c, d]: Matrix): number {
  const squares = a * a + b * b + c * c + d * d;
  const area = Math.abs(a * d - b * c);
  const longest = Math.sqrt((squares + Math.sqrt(Math.max(0, squares * squares - 4 * area * area))) / 2);
  return longest === 0 ? 0 : area / longest;
}

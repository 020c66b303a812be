import type { Matrix } from '../../pdf/page/page-space.ts';

/**
 * Drawn width of a line of width 1 at its thinnest: the smaller singular value of the matrix. A page stretched in one
 * direction makes one pen draw thick and thin strokes.
 */
export function thinnestStroke([a, b, c, d]: Matrix): number {
  const squares = a * a + b * b + c * c + d * d;
  const area = Math.abs(a * d - b * c);
  const longest = Math.sqrt((squares + Math.sqrt(Math.max(0, squares * squares - 4 * area * area))) / 2);
  return longest === 0 ? 0 : area / longest;
}

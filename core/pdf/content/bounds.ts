import type { Matrix, SourceBox } from '../page/page-space.ts';
import type { Painted } from './painted.ts';

/** Boxes in a page's default user space. The box of a painted object is never too small, but may be too large. */
export const EVERYWHERE: SourceBox = { x0: -1e9, y0: -1e9, x1: 1e9, y1: 1e9 };
export const NOWHERE: SourceBox = { x0: Infinity, y0: Infinity, x1: -Infinity, y1: -Infinity };

export const isBoxEmpty = (box: SourceBox): boolean => !(box.x1 >= box.x0 && box.y1 >= box.y0);

/** The shared area. A line or a point counts, because a hairline paints. Empty boxes stay empty. */
export function boxOverlap(a: SourceBox, b: SourceBox): SourceBox {
  const box = {
    x0: Math.max(a.x0, b.x0),
    y0: Math.max(a.y0, b.y0),
    x1: Math.min(a.x1, b.x1),
    y1: Math.min(a.y1, b.y1),
  };
  return isBoxEmpty(box) ? NOWHERE : box;
}

/** A clip narrowed by a box. A box with numbers that make no sense leaves the clip unchanged. */
export const boxClipped = (clip: SourceBox, box: SourceBox): SourceBox =>
  Number.isNaN(box.x0 + box.y0 + box.x1 + box.y1) ? clip : boxOverlap(clip, box);

/**
 * Where a painted object shows: within its clip, or, by proxy, where the object that uses it shows. Empty when it does
 * not show.
 */
export function boxShown({ bounds, clip, level }: Pick<Painted, 'bounds' | 'clip' | 'level'>): SourceBox {
  const shown = boxOverlap(bounds, clip);
  return level.area === undefined || isBoxEmpty(shown) ? shown : level.area;
}

export const isOverlapping = (a: SourceBox, b: SourceBox): boolean =>
  a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1;

export const boxGrown = (box: SourceBox, byX: number, byY: number): SourceBox => ({
  x0: box.x0 - byX,
  y0: box.y0 - byY,
  x1: box.x1 + byX,
  y1: box.y1 + byY,
});

/** The upright box around a box that a matrix may have turned or slanted. */
export function boxTransformed(box: SourceBox, m: Matrix): SourceBox {
  if (isBoxEmpty(box)) return NOWHERE;
  const [a, b, c, d, e, f] = m;
  const ax0 = a * box.x0;
  const ax1 = a * box.x1;
  const cy0 = c * box.y0;
  const cy1 = c * box.y1;
  const bx0 = b * box.x0;
  const bx1 = b * box.x1;
  const dy0 = d * box.y0;
  const dy1 = d * box.y1;
  return {
    x0: e + Math.min(ax0, ax1) + Math.min(cy0, cy1),
    y0: f + Math.min(bx0, bx1) + Math.min(dy0, dy1),
    x1: e + Math.max(ax0, ax1) + Math.max(cy0, cy1),
    y1: f + Math.max(bx0, bx1) + Math.max(dy0, dy1),
  };
}

export const UNIT_SQUARE: SourceBox = { x0: 0, y0: 0, x1: 1, y1: 1 };
export const IDENTITY: Matrix = [1, 0, 0, 1, 0, 0];

/**
 * How far a circle of radius 1 extends along x and y after the matrix. It avoids Math.hypot, whose last bit depends on
 * the runtime: that bit could change what a panel leaves out.
 */
export const matrixReach = (m: Matrix): readonly [x: number, y: number] => [
  Math.sqrt(m[0] * m[0] + m[2] * m[2]),
  Math.sqrt(m[1] * m[1] + m[3] * m[3]),
];

import { type Matrix, matrixInverse, matrixPoint, type SourceBox } from '../page/page-space.ts';
import type { PixelSize, PixelWindow } from './pixel-window.ts';

type Corner = readonly [number, number];

/** An image whose matrix is flatter than this, relative to its size, has no area to find pixels in. */
const FLATNESS = 1e-12;

/**
 * The pixels of an image that a box of the page needs: every pixel that the box touches, no slack yet.
 * `placement` maps the image's unit square to the space of `box`; row 0 is at the top of the square
 * (ISO 32000-1, 8.9.5.1).
 *
 *     (0,1) ┌───────┐ (1,1)  pixel (0, 0)
 *           │ image │
 *     (0,0) └───────┘ (1,0)  pixel (0, height − 1)
 *
 * Undefined: the box does not touch the image. The whole image: the matrix has no inverse.
 */
export function imagePixelWindow(
  placement: Matrix,
  box: SourceBox,
  image: PixelSize,
): PixelWindow | undefined {
  const inverse = isFlat(placement) ? undefined : matrixInverse(placement);
  if (!inverse) return { x: 0, y: 0, width: image.width, height: image.height };
  const corners: Corner[] = [
    matrixPoint(inverse, box.x0, box.y0),
    matrixPoint(inverse, box.x1, box.y0),
    matrixPoint(inverse, box.x1, box.y1),
    matrixPoint(inverse, box.x0, box.y1),
  ];
  const shared = clippedToUnitSquare(corners);
  if (shared.length === 0) return undefined;
  const xs = shared.map(([u]) => u * image.width);
  const ys = shared.map(([, v]) => (1 - v) * image.height);
  const x = pixelFloor(Math.min(...xs), image.width - 1);
  const y = pixelFloor(Math.min(...ys), image.height - 1);
  const right = pixelCeil(Math.max(...xs), x + 1, image.width);
  const bottom = pixelCeil(Math.max(...ys), y + 1, image.height);
  return { x, y, width: right - x, height: bottom - y };
}

/** A rounding error at a pixel's edge must not add the next pixel to a box that ends there. */
const EDGE_TOLERANCE = 1e-6;

const pixelFloor = (at: number, max: number): number =>
  Math.min(max, Math.max(0, Math.floor(at + EDGE_TOLERANCE)));
const pixelCeil = (at: number, min: number, max: number): number =>
  Math.min(max, Math.max(min, Math.ceil(at - EDGE_TOLERANCE)));

/**
 * Where a crop is in the unit square of the whole image. Concatenated in front of the image's own
 * matrix (`crop × placement`), it puts the crop's pixels exactly where they were; so a content stream needs only
 * `q <this matrix> cm /Image Do Q` in the place of `/Image Do`. Write it with nine digits or more: of an image 5 m
 * wide, the sixth digit is 5 µm, and renderers round images up to the next device pixel.
 *
 *     crop x, y, w, h of W × H  →  [w/W 0 0 h/H x/W 1 − (y + h)/H]
 */
export function cropMatrix(crop: PixelWindow, image: PixelSize): Matrix {
  return [
    crop.width / image.width,
    0,
    0,
    crop.height / image.height,
    crop.x / image.width,
    (image.height - crop.y - crop.height) / image.height,
  ];
}

function isFlat([a, b, c, d]: Matrix): boolean {
  const size = Math.max(Math.abs(a * d), Math.abs(b * c));
  return !(Math.abs(a * d - b * c) > FLATNESS * size);
}

/** The part of a convex polygon in [0, 1] × [0, 1], clipped by one side of the square after another. */
function clippedToUnitSquare(polygon: readonly Corner[]): readonly Corner[] {
  const sides: readonly ((p: Corner) => number)[] = [
    (p) => p[0],
    (p) => 1 - p[0],
    (p) => p[1],
    (p) => 1 - p[1],
  ];
  return sides.reduce<readonly Corner[]>(
    (rest, inside) =>
      rest.flatMap((corner, i) => {
        const next = rest[(i + 1) % rest.length]!;
        const here = inside(corner);
        const there = inside(next);
        const kept = here >= 0 ? [corner] : [];
        if (here >= 0 === there >= 0) return kept;
        const t = here / (here - there);
        const crossing: Corner = [
          corner[0] + t * (next[0] - corner[0]),
          corner[1] + t * (next[1] - corner[1]),
        ];
        return [...kept, crossing];
      }),
    polygon,
  );
}

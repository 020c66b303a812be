import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cropMatrix, imagePixelWindow } from '../../../../core/pdf/images/image-window.ts';
import { type Matrix, matrixPoint, matrixProduct } from '../../../../core/pdf/page/page-space.ts';

const SIZE = { width: 200, height: 50 };

describe('Pixel windows of an image on a page', () => {
  it('count rows from the top of the unit square (ISO 32000-1, 8.9.5.1)', () => {
    // 200 × 50 pixels on 400 × 100 points at (10, 20): 2 points a pixel.
    const placement: Matrix = [400, 0, 0, 100, 10, 20];
    const box = { x0: 50, y0: 90, x1: 75, y1: 130 };
    // x: 40/2..65/2; y: the top edge is at 120, the box begins 30 points below it.
    expect(imagePixelWindow(placement, box, SIZE)).toEqual({ x: 20, y: 0, width: 13, height: 15 });
  });

  it('take no neighbor for a rounding error on a pixel edge', () => {
    const placement: Matrix = [400, 0, 0, 100, 10, 20];
    const box = { x0: 50 - 1e-9, y0: 40, x1: 90 + 1e-9, y1: 60 };
    expect(imagePixelWindow(placement, box, SIZE)).toEqual({ x: 20, y: 30, width: 20, height: 10 });
  });

  it('follow turns and mirrors', () => {
    // A quarter turn to the left, mirrored: u runs up, v runs to the right.
    const placement: Matrix = [0, 200, 50, 0, 0, 0];
    expect(imagePixelWindow(placement, { x0: 0, y0: 0, x1: 10, y1: 30 }, SIZE)).toEqual({
      x: 0,
      y: 40,
      width: 30,
      height: 10,
    });
    const mirrored: Matrix = [-200, 0, 0, -50, 200, 50];
    expect(imagePixelWindow(mirrored, { x0: 0, y0: 0, x1: 10, y1: 5 }, SIZE)).toEqual({
      x: 190,
      y: 0,
      width: 10,
      height: 5,
    });
  });

  it('are none where the box misses the image, even where their bounding boxes meet', () => {
    expect(
      imagePixelWindow([400, 0, 0, 100, 0, 0], { x0: 401, y0: 0, x1: 500, y1: 50 }, SIZE),
    ).toBeUndefined();
    // A square on its corner: the box lies in the empty corner of its bounding box.
    const turned: Matrix = [100, 100, -100, 100, 100, 0];
    expect(imagePixelWindow(turned, { x0: 0, y0: 0, x1: 40, y1: 40 }, SIZE)).toBeUndefined();
  });

  it('are the whole image under a matrix without area', () => {
    const box = { x0: 0, y0: 0, x1: 10, y1: 10 };
    for (const flat of [
      [0, 0, 0, 100, 0, 0],
      [3, 6, 1, 2, 5, 5],
      [0, 0, 0, 0, 0, 0],
    ] as const) {
      expect(imagePixelWindow(flat, box, SIZE)).toEqual({ x: 0, y: 0, ...SIZE });
    }
  });

  const number = fc.double({ min: -300, max: 300, noNaN: true });
  const placement = fc
    .tuple(number, number, number, number, number, number)
    .filter(([a, b, c, d]) => Math.abs(a * d - b * c) > 50);

  it('hold every pixel that the box touches, under any affine matrix', () => {
    fc.assert(
      fc.property(placement, number, number, fc.nat(200), fc.nat(200), (m, x0, y0, w, h) => {
        const box = { x0, y0, x1: x0 + w, y1: y0 + h };
        const size = { width: 23, height: 17 };
        const window = imagePixelWindow(m, box, size);
        for (let row = 0; row < size.height; row++) {
          for (let column = 0; column < size.width; column++) {
            // The middle of the pixel is on the box: then the pixel is needed.
            const [x, y] = matrixPoint(m, (column + 0.5) / size.width, 1 - (row + 0.5) / size.height);
            if (x < box.x0 || x > box.x1 || y < box.y0 || y > box.y1) continue;
            expect(window).toBeDefined();
            expect(column).toBeGreaterThanOrEqual(window!.x);
            expect(column).toBeLessThan(window!.x + window!.width);
            expect(row).toBeGreaterThanOrEqual(window!.y);
            expect(row).toBeLessThan(window!.y + window!.height);
          }
        }
      }),
      { numRuns: 300, seed: 20280 },
    );
  });

  it('a crop lands where its pixels were: [w/W 0 0 h/H x/W 1 − (y + h)/H]', () => {
    const crop = { x: 30, y: 5, width: 50, height: 35 };
    expect(cropMatrix(crop, SIZE)).toEqual([0.25, 0, 0, 0.7, 0.15, 0.2]);
    fc.assert(
      fc.property(placement, fc.nat(50), fc.nat(35), (m, column, row) => {
        const [u, v] = [(crop.x + column) / SIZE.width, 1 - (crop.y + row) / SIZE.height];
        const before = matrixPoint(m, u, v);
        const inCrop = [column / crop.width, 1 - row / crop.height] as const;
        const after = matrixPoint(matrixProduct(cropMatrix(crop, SIZE), m), ...inCrop);
        expect(after[0]).toBeCloseTo(before[0], 9);
        expect(after[1]).toBeCloseTo(before[1], 9);
      }),
      { numRuns: 100, seed: 20281 },
    );
  });
});

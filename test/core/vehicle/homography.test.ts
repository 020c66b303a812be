import { createRequire } from 'node:module';
import type OpenCv from '@techstark/opencv-js';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  type Homography,
  homographyApplied,
  homographyFromPairs,
  homographyInverse,
  type PlanePoint,
  similarityFromPairs,
} from '../../../core/vehicle/homography.ts';

/**
 * Not imported: it looks like a promise that never ends. It takes a process in which another test has left a window for
 * a page.
 */
const cv = ((page: { window?: unknown }): typeof OpenCv => {
  const left = Object.getOwnPropertyDescriptor(page, 'window');
  delete page.window;
  try {
    return createRequire(import.meta.url)('@techstark/opencv-js') as typeof OpenCv;
  } finally {
    if (left) Object.defineProperty(page, 'window', left);
  }
})(globalThis as unknown as { window?: unknown });

const point = (x: number, y: number): PlanePoint => ({ x, y });
const pairs = (from: readonly PlanePoint[], to: readonly PlanePoint[]) =>
  from.map((each, n) => ({ from: each, to: to[n]! }));

const expectAt = (h: Homography | undefined, from: PlanePoint, to: PlanePoint, digits = 6) => {
  const at = homographyApplied(h!, from);
  expect(at.x).toBeCloseTo(to.x, digits);
  expect(at.y).toBeCloseTo(to.y, digits);
};

describe('homographies from points', () => {
  it('give the figures of the tutorial on geometric transformations of OpenCV', () => {
    const seen = [point(56, 65), point(368, 52), point(28, 387), point(389, 390)];
    const square = [point(0, 0), point(300, 0), point(0, 300), point(300, 300)];
    const h = homographyFromPairs(pairs(seen, square));
    expectAt(h, point(200, 200), point(144.332755, 139.305307));
    expectAt(homographyInverse(h!), point(150, 150), point(206.11281, 211.506496));
  });

  it('give the figures of a square that becomes a quadrilateral (Heckbert 1989, section 2.2.3)', () => {
    const square = [point(0, 0), point(1, 0), point(1, 1), point(0, 1)];
    const h = homographyFromPairs(pairs(square, [point(1, 2), point(5, 3), point(6, 7), point(2, 6.5)]));
    expectAt(h, point(0.5, 0.5), point(3.615384615, 4.615384615));
  });

  it('do not exist for three points, nor where all but one lie on a line', () => {
    const line = [point(0, 0), point(1, 1), point(2, 2), point(3, 3)];
    const square = [point(0, 0), point(9, 0), point(9, 9), point(0, 9)];
    expect(homographyFromPairs(pairs(line.slice(0, 3), square))).toBeUndefined();
    expect(homographyFromPairs(pairs(line, square))).toBeUndefined();
    expect(
      homographyFromPairs(pairs([point(7, 7), point(7, 7), point(7, 7), point(7, 7)], square)),
    ).toBeUndefined();
  });

  it('move, turn and enlarge only, where the photo was taken square to the side', () => {
    // Twice as large, a quarter turn, moved by (10, 20): worked by hand.
    const h = similarityFromPairs(pairs([point(0, 0), point(3, 0)], [point(10, 20), point(10, 26)]));
    expectAt(h, point(1, 2), point(6, 22));
    expect(
      similarityFromPairs(pairs([point(1, 1), point(1, 1)], [point(0, 0), point(5, 5)])),
    ).toBeUndefined();
  });
});

describe('homographies beside a general vision library (OpenCV 4.12, findHomography by least squares)', () => {
  beforeAll(
    () =>
      new Promise<void>((resolve) => {
        if (cv.Mat) resolve();
        else cv.onRuntimeInitialized = () => resolve();
      }),
    60_000,
  );

  it('send points where the library sends them', () => {
    const place = fc.double({ min: -0.15, max: 0.15, noNaN: true });
    const corners = [
      point(0, 0),
      point(4000, 0),
      point(4000, 3000),
      point(0, 3000),
      point(2000, 900),
      point(900, 2000),
    ];
    fc.assert(
      fc.property(
        fc.array(place, { minLength: 12, maxLength: 12 }),
        fc.integer({ min: 4, max: 6 }),
        (shifts, count) => {
          const from = corners.slice(0, count);
          const to = from.map(({ x, y }, n) =>
            point(x * 1.7 + shifts[2 * n]! * 4000, y * 1.5 + shifts[2 * n + 1]! * 3000),
          );
          const [a, b] = [from, to].map((points) =>
            cv.matFromArray(
              points.length,
              1,
              cv.CV_64FC2,
              points.flatMap(({ x, y }) => [x, y]),
            ),
          );
          const found = cv.findHomography(a!, b!, 0);
          const theirs = [...found.data64F] as unknown as Homography;
          for (const mat of [a!, b!, found]) mat.delete();
          const ours = homographyFromPairs(pairs(from, to))!;
          for (const probe of [point(1300, 700), point(2900, 2400), ...from]) {
            const [here, there] = [homographyApplied(ours, probe), homographyApplied(theirs, probe)];
            // Four points leave no choice. Of more, the library then lessens the distances themselves, which shifts a little.
            const slack = count === 4 ? 1e-6 : 60;
            expect(Math.hypot(here.x - there.x, here.y - there.y)).toBeLessThan(slack);
          }
        },
      ),
      { numRuns: 60 },
    );
  });
});

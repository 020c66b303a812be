import { describe, expect, it } from 'vitest';
import { bendFromLines, pointIdeal, pointSeen } from '../../../core/vehicle/lens.ts';
import { photoPlace, photoPointFromSide } from '../../../core/vehicle/photo-place.ts';
import { photoCopies, photoWarped } from '../../../core/vehicle/photo-warp.ts';
import type { SidePhoto } from '../../../core/vehicle/side-photo.ts';
import { PHOTO, PHOTO_PX, POSITIONS, photoErrors, placeOf, seenBy } from '../../support/photo-scene.ts';

const problemOf = (photo: Partial<SidePhoto>) => {
  const place = photoPlace({ ...PHOTO, ...photo });
  return place.ok ? undefined : place.problem.code;
};

describe('a photo laid on its side', () => {
  it('PH3 is off by 0.1 % of the length at the median and 0.5 % at the 95th percentile, lens and clicks included', () => {
    const errors = photoErrors();
    expect(errors).toHaveLength(5000);
    expect(errors[2500]).toBeLessThanOrEqual(0.001);
    expect(errors[4750]).toBeLessThanOrEqual(0.005);
  });

  it('PH3 finds the bend of a lens, and is worse without it', () => {
    const lens = { ...PHOTO_PX, bend: -0.11 };
    const line = (y: number) => [200, 1400, 2300, 3700].map((x) => pointSeen(lens, { x, y }));
    expect(bendFromLines([line(150), line(2900)], PHOTO_PX)).toBeCloseTo(-0.11, 6);
    expect(bendFromLines([line(150).slice(0, 2)], PHOTO_PX)).toBe(0);
    const there = pointSeen(lens, { x: 3900, y: 2900 });
    expect(pointIdeal(lens, there).x).toBeCloseTo(3900, 6);
    expect(Math.abs(there.x - 3900)).toBeGreaterThan(100);
  });

  it('PH4 says by how many mm each point is off, and which are too few, in line or mixed up', () => {
    const camera = { ...POSITIONS[1]!, k1: 0 };
    const at = (x: number, y: number, off = 0) => ({ ...seenBy(camera, { x, y }), xMm: x + off, yMm: y });
    const corners = [at(100, 100), at(5900, 100), at(5900, 2000), at(100, 2000)];
    expect(placeOf({ points: corners }).sparePoints).toBe(0);
    const six = placeOf({ points: [...corners, at(3000, 1000), at(2900, 150, 80)] });
    expect(six.sparePoints).toBe(2);
    expect(Math.max(...six.residualsMm)).toBe(six.residualsMm[5]);
    expect(six.residualsMm[5]).toBeGreaterThan(30);
    expect(problemOf({ points: corners.slice(0, 3) })).toBe('photo-points-few');
    expect(problemOf({ points: [at(0, 0), at(1000, 0), at(2000, 0), at(3000, 0)] })).toBe(
      'photo-points-in-line',
    );
    const [a, b, c, d] = corners.map(({ xMm, yMm }) => ({ xMm, yMm }));
    const mixed = (places: readonly object[]) =>
      corners.map((corner, n) => ({ ...corner, ...places[n]! }) as (typeof corners)[number]);
    expect(problemOf({ points: mixed([b!, a!, d!, c!]) })).toBe('photo-points-mixed');
    expect(problemOf({ points: mixed([a!, c!, b!, d!]) })).toBe('photo-points-mixed');
    expect(problemOf({ points: corners.slice(0, 2), isSquareOn: true })).toBeUndefined();
  });

  it('PH5 is drawn with each of its points where the side has it', () => {
    // A photo of 400 × 300 px whose four quarters have four colors, seen at a slant.
    const [width, height] = [400, 300];
    const data = new Uint8ClampedArray(width * height * 4);
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++)
        data.set([x < 200 ? 40 : 200, y < 150 ? 60 : 220, 90, 255], (y * width + x) * 4);
    const photo = { ...PHOTO, widthPx: width, heightPx: height };
    const place = placeOf({
      ...photo,
      points: [
        { xPx: 40, yPx: 20, xMm: 0, yMm: 0 },
        { xPx: 380, yPx: 60, xMm: 2000, yMm: 0 },
        { xPx: 370, yPx: 260, xMm: 2000, yMm: 1000 },
        { xPx: 60, yPx: 290, xMm: 0, yMm: 1000 },
      ],
    });
    const copies = photoCopies({ data, widthPx: width, heightPx: height });
    const window = { x: -300, y: -200, width: 2600, height: 1400 };
    for (const widthPx of [520, 40]) {
      const size = { widthPx, heightPx: (widthPx * 1400) / 2600 };
      const warped = photoWarped(copies, place, window, size);
      let looked = 0;
      for (let row = 0; row < size.heightPx; row += 3) {
        for (let column = 0; column < size.widthPx; column += 3) {
          const side = {
            x: window.x + ((column + 0.5) * window.width) / size.widthPx,
            y: window.y + ((row + 0.5) * window.height) / size.heightPx,
          };
          const { xPx, yPx } = photoPointFromSide(place, side);
          // Not at the edges between colors, which are soft in small copies.
          const soft = widthPx === 40 ? 30 : 3;
          if (Math.abs(xPx - 200) < soft || Math.abs(yPx - 150) < soft) continue;
          const isOn = xPx > soft && yPx > soft && xPx < width - soft && yPx < height - soft;
          const pixel = [
            ...warped.data.slice((row * widthPx + column) * 4, (row * widthPx + column) * 4 + 4),
          ];
          if (isOn) expect(pixel).toEqual([xPx < 200 ? 40 : 200, yPx < 150 ? 60 : 220, 90, 255]);
          else if (xPx < -soft || yPx < -soft || xPx > width + soft) expect(pixel[3]).toBe(0);
          looked += Number(isOn);
        }
      }
      expect(looked).toBeGreaterThan(20);
    }
  });
});

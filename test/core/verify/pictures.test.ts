import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { displacement } from '../../../core/verify/displacement.ts';
import { AREA_REACH, differencePicture, picturesCompared } from '../../../core/verify/picture-comparison.ts';
import { type PixelWindow, SideGrid } from '../../../core/verify/side-grid.ts';
import type { VerificationPicture } from '../../../core/verify/verification-picture.ts';

const WINDOW: PixelWindow = { x: 31, y: -17, width: 173, height: 118 };
const INNER: PixelWindow = { x: 33, y: -15, width: 169, height: 114 };

/** A picture of a smooth pattern, sampled at any place, so that a displaced one is exact and not interpolated. */
function pattern(
  place: (x: number, y: number) => readonly [number, number] = (x, y) => [x, y],
): VerificationPicture {
  const rgba = new Uint8Array(WINDOW.width * WINDOW.height * 4);
  for (let row = 0; row < WINDOW.height; row++) {
    for (let column = 0; column < WINDOW.width; column++) {
      const [x, y] = place(column, row);
      const red = 120 + 60 * Math.sin(x / 9) + 50 * Math.cos((x + 2 * y) / 17);
      const green = 130 + 70 * Math.sin(y / 11) + 30 * Math.sin(x / 23);
      rgba.set([red, green, 90, 255].map(Math.round), (row * WINDOW.width + column) * 4);
    }
  }
  return { window: WINDOW, rgba };
}

const copyOf = ({ window, rgba }: VerificationPicture): VerificationPicture => ({
  window,
  rgba: rgba.slice(),
});
const byteOf = (x: number, y: number): number => ((y - WINDOW.y) * WINDOW.width + x - WINDOW.x) * 4;

describe('comparing pictures', () => {
  it('finds no difference between equals', () => {
    expect(picturesCompared(pattern(), pattern(), INNER)).toMatchObject({
      largest: 0,
      mean: 0,
      differingPixels: 0,
      differing: undefined,
      comparedPixels: 169 * 114,
    });
  });

  it('tells the largest and the mean difference and where it is', () => {
    const changed = copyOf(pattern());
    const spot = [byteOf(101, 40), byteOf(102, 40), byteOf(101, 41), byteOf(102, 41)];
    for (const at of spot) changed.rgba[at] = changed.rgba[at]! > 128 ? 0 : 255;
    const differences = spot.map((at) => Math.abs(changed.rgba[at]! - pattern().rgba[at]!));
    const compared = picturesCompared(pattern(), changed, INNER);
    expect(compared.largest).toBe(Math.max(...differences));
    expect(compared.mean).toBeCloseTo(differences.reduce((sum, one) => sum + one, 0) / (169 * 114), 12);
    expect(compared.differingPixels).toBe(4);
    expect(compared.differing).toEqual({ x: 101, y: 40, width: 2, height: 2 });
  });

  it('takes single pixels here and there for rounding, a line one pixel wide for a difference', () => {
    const specks = copyOf(pattern());
    for (let x = 40; x < 190; x += 7) specks.rgba[byteOf(x, 33)] = 255 - specks.rgba[byteOf(x, 33)]!;
    const compared = picturesCompared(pattern(), specks, INNER);
    expect(compared.differingPixels).toBe(0);
    expect(compared.largest).toBeGreaterThan(50);
    const line = copyOf(pattern());
    for (let x = 60; x < 90; x++) line.rgba.fill(255, byteOf(x, 40), byteOf(x, 40) + 3);
    expect(picturesCompared(pattern(), line, INNER).differing).toEqual({
      x: 60,
      y: 40,
      width: 30,
      height: 1,
    });
  });

  it('takes a few faint pixels for rounding as well, but not many, nor strong ones', () => {
    const spot = (side: number, levels: number): VerificationPicture => {
      const picture = copyOf(pattern(() => [0, 0]));
      for (let y = 40; y < 40 + side; y++) {
        for (let x = 70; x < 70 + side; x++) picture.rgba[byteOf(x, y) + 2]! += levels;
      }
      return picture;
    };
    const flat = pattern(() => [0, 0]);
    expect(picturesCompared(flat, spot(5, 60), INNER).differingPixels).toBe(0);
    expect(picturesCompared(flat, spot(7, 60), INNER).differingPixels).toBe(49);
    expect(picturesCompared(flat, spot(5, 80), INNER).differingPixels).toBe(25);
  });

  it('tells by how much the whole is lighter, which noise is not', () => {
    const lighter = copyOf(pattern());
    const noisy = copyOf(pattern());
    for (let i = 0; i < lighter.rgba.length; i += 4) {
      lighter.rgba[i + 1]! += 3;
      noisy.rgba[i + 1]! += i % 8 === 0 ? 3 : -3;
    }
    expect(picturesCompared(pattern(), lighter, INNER).toneShift).toBeCloseTo(3, 12);
    expect(picturesCompared(pattern(), noisy, INNER).toneShift).toBeLessThan(0.05);
    expect(picturesCompared(pattern(), noisy, INNER).mean).toBeCloseTo(3, 12);
  });

  it('takes an edge drawn a part of a pixel further for no difference, a missing line for one', () => {
    const edge = (at: number): VerificationPicture => {
      const picture = pattern(() => [0, 0]);
      for (let i = 0; i < picture.rgba.length; i += 4) {
        const x = (i / 4) % WINDOW.width;
        picture.rgba.fill(Math.round(255 * Math.min(1, Math.max(0, x + 1 - at))), i, i + 3);
      }
      return picture;
    };
    const moved = picturesCompared(edge(60.2), edge(60.9), INNER);
    expect(moved.largest).toBeGreaterThan(150);
    expect(moved.differingPixels).toBe(0);
    const line = copyOf(edge(60.2));
    for (let y = WINDOW.y; y < WINDOW.y + WINDOW.height; y++)
      line.rgba.fill(120, byteOf(140, y), byteOf(140, y) + 3);
    expect(picturesCompared(edge(60.2), line, INNER).differingPixels).toBe(INNER.height);
    expect(picturesCompared(line, edge(60.2), INNER).differingPixels).toBe(INNER.height);
  });

  it('over an area, lets thin lines be drawn darker and lighter, but none be lost, nor a spot be changed', () => {
    const striped = (levelsOf: (line: number) => number): VerificationPicture => {
      const picture = pattern(() => [0, 0]);
      for (let line = 0; line < 12; line++) {
        for (let y = 0; y < 60; y++) {
          const at = byteOf(WINDOW.x + 20 + 3 * line, WINDOW.y + 20 + y);
          for (let channel = 0; channel < 3; channel++) picture.rgba[at + channel]! -= levelsOf(line);
        }
      }
      return picture;
    };
    const overArea = (levelsOf: (line: number) => number): number =>
      picturesCompared(
        striped(() => 45),
        striped(levelsOf),
        INNER,
        AREA_REACH,
      ).differingPixels;
    const uneven = (line: number): number => (line % 2 === 0 ? 80 : 10);
    expect(
      picturesCompared(
        striped(() => 45),
        striped(uneven),
        INNER,
      ).differingPixels,
    ).toBeGreaterThan(300);
    expect(overArea(uneven)).toBe(0);
    expect(overArea(() => 0)).toBeGreaterThan(300);
    const spot = pattern(() => [0, 0]);
    for (let y = 40; y < 45; y++) spot.rgba.fill(0, byteOf(90, y), byteOf(95, y));
    expect(
      picturesCompared(
        pattern(() => [0, 0]),
        spot,
        INNER,
        AREA_REACH,
      ).differingPixels,
    ).toBe(25);
  });

  it('shows the difference in red on a pale panel', () => {
    const changed = copyOf(pattern());
    changed.rgba.set([0, 0, 0], byteOf(101, 40));
    const { rgba } = differencePicture(pattern(), changed);
    const [red, green] = rgba.subarray(byteOf(101, 40));
    expect(red! - green!).toBeGreaterThan(150);
    const [plainRed, plainGreen] = rgba.subarray(byteOf(90, 40));
    expect(plainRed).toBe(plainGreen);
  });
});

describe('measuring a displacement', () => {
  it('finds any shift and stretch to a few hundredths of a pixel', () => {
    const shift = fc.double({ min: -3, max: 3, noNaN: true });
    const growth = fc.double({ min: -0.02, max: 0.02, noNaN: true });
    fc.assert(
      fc.property(shift, shift, growth, growth, (dx, dy, growX, growY) => {
        const [middleX, middleY] = [WINDOW.width / 2, WINDOW.height / 2];
        // What was at p is now at middle + (p - middle)·(1 + growth) + shift.
        const displaced = pattern((x, y) => [
          middleX + (x - middleX - dx) / (1 + growX),
          middleY + (y - middleY - dy) / (1 + growY),
        ]);
        const found = displacement(pattern(), displaced, INNER);
        expect(Math.abs(found.dx - dx)).toBeLessThan(0.06);
        expect(Math.abs(found.dy - dy)).toBeLessThan(0.06);
        expect(Math.abs(found.scaleX - 1 - growX)).toBeLessThan(0.002);
        expect(Math.abs(found.scaleY - 1 - growY)).toBeLessThan(0.002);
        if (Math.hypot(dx, dy) > 0.5) expect(found.unexplained).toBeLessThan(0.1);
      }),
      { numRuns: 30 },
    );
  });

  it('explains nothing where the pictures are simply different', () => {
    const other = copyOf(pattern());
    other.rgba.fill(0, byteOf(60, 0), byteOf(60, 30));
    expect(displacement(pattern(), other, INNER).unexplained).toBeGreaterThan(0.8);
    const plain = pattern(() => [5, 5]);
    const darker = copyOf(plain);
    for (let i = 0; i < darker.rgba.length; i += 4) darker.rgba[i]! -= 20;
    expect(displacement(plain, darker, INNER)).toMatchObject({
      dx: 0,
      dy: 0,
      scaleX: 1,
      scaleY: 1,
      unexplained: 1,
    });
  });
});

describe('the grid of a side', () => {
  it('has whole pixels from the corner of the side, enough to see half a millimeter, never too many', () => {
    const length = fc.double({ min: 30, max: 16_000, noNaN: true });
    const at = fc.double({ min: -500, max: 16_000, noNaN: true });
    fc.assert(
      fc.property(at, at, length, length, (x, y, width, height) => {
        const rect = { x, y, width, height: Math.min(height, 3000) };
        const grid = SideGrid.fitting([rect]);
        const window = grid.around(rect);
        expect(window.width * window.height).toBeLessThan(2.2e6);
        const shown = grid.rect(window);
        expect(shown.x).toBeLessThanOrEqual(x + 1e-3);
        expect(shown.x + shown.width).toBeGreaterThanOrEqual(x + width - 1e-3);
        const inner = grid.inside(rect);
        if (!inner) return;
        const whole = grid.rect(inner);
        expect(whole.x).toBeGreaterThanOrEqual(x + grid.mmPerPixel - 1e-3);
        expect(whole.y + whole.height).toBeLessThanOrEqual(y + rect.height - grid.mmPerPixel + 1e-3);
      }),
    );
    const panel = { x: 0, y: 0, width: 1520, height: 2900 };
    expect(SideGrid.fitting([panel]).ppi).toBe(12);
    expect(SideGrid.fitting([panel], 'areas').ppi).toBe(8);
  });
});

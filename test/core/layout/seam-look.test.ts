import { describe, expect, it } from 'vitest';
import { type LookedSeam, seamLook, seamWindow } from '../../../core/layout/seam-look.ts';

const lap: LookedSeam = {
  direction: 'vertical',
  joint: 'lap',
  at: 1000,
  top: 'second',
  firstMm: 12,
  secondMm: 8,
  squareShare: 1,
};
/** 40 × 10 mm around the seam at a tenth of a millimeter: each pixel’s red is its column. */
const window = { x: 980, y: 500, width: 40, height: 10 };
const WIDTH = 400;
const HEIGHT = 100;
const columns = Uint8Array.from({ length: WIDTH * HEIGHT * 3 }, (_, i) =>
  i % 3 === 0 ? Math.floor((i / 3) % WIDTH) / 2 : i % 3 === 1 ? Math.floor(i / 3 / WIDTH) : 100,
);
const picture = { widthPx: WIDTH, heightPx: HEIGHT, pixels: columns, channels: 3 as const };
const looked = (seam: LookedSeam, apartMm: number, alongMm = 0) => {
  const out = seamLook(seam, picture, window, { apartMm, alongMm });
  return (x: number, y = 50) => [...out.subarray((y * WIDTH + x) * 3, (y * WIDTH + x) * 3 + 3)];
};

describe('how a seam will look', () => {
  it('SL1 is the artwork itself where nothing is off, with the step of the film at the seam', () => {
    const at = looked(lap, 0);
    expect(at(100)).toEqual([50, 50, 100]);
    expect(at(300)).toEqual([150, 50, 100]);
    // The step lies on the seam line, in the middle of the window; darker than what is there.
    expect(at(200)[2]).toBeLessThan(70);
    // The film below ends 12 mm beyond, and raises the film on top there.
    expect(at(320)[2]).toBeGreaterThan(100);
    expect(at(260)[2]).toBe(100);
  });

  it('SL1 shifts the panel on top, apart and along, and leaves the one below in place', () => {
    const at = looked(lap, 2, 1);
    expect(at(100)).toEqual([50, 50, 100]);
    // 2 mm are 20 pixels across, 1 mm is 10 along.
    expect(at(300)).toEqual([140, 40, 100]);
    const first = looked({ ...lap, top: 'first' }, 2);
    expect(first(300)).toEqual([150, 50, 100]);
    expect(first(100)).toEqual([60, 50, 100]);
  });

  it('SL1 shows bare vehicle where panels that butt stand apart, and none where they come together', () => {
    const butt: LookedSeam = { ...lap, joint: 'butt', firstMm: 0, secondMm: 0 };
    const apart = looked(butt, 1.5);
    expect(apart(207)).toEqual([118, 118, 118]);
    expect(apart(220)[0]).toBe(102);
    expect(looked(butt, -1)(207)).not.toEqual([118, 118, 118]);
  });

  it('SL1 follows a seam with shape', () => {
    const path = [
      { along: 500, across: 990 },
      { along: 510, across: 1010 },
    ];
    const at = looked({ ...lap, path }, 3);
    // At the top the seam lies 10 mm left of the middle, at the bottom 10 mm right of it.
    expect(at(150, 2)[0]).toBe(60);
    expect(at(150, 98)[0]).toBe(75);
  });

  it('looks at a window about a place of the seam, of either direction', () => {
    expect(seamWindow(lap, 700, { width: 160, height: 90 })).toEqual({
      x: 920,
      y: 655,
      width: 160,
      height: 90,
    });
    const level: LookedSeam = { ...lap, direction: 'horizontal' };
    expect(seamWindow(level, 700, { width: 160, height: 90 })).toEqual({
      x: 620,
      y: 955,
      width: 160,
      height: 90,
    });
  });
});

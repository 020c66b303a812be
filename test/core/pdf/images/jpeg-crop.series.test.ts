import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jpegFileCropSteps, scanRewriters } from '../../../../core/pdf/images/jpeg-crop.ts';
import { jpegFileFromBytes, jpegFrameFromHead } from '../../../../core/pdf/images/jpeg-markers.ts';
import type { PixelWindow } from '../../../../core/pdf/images/pixel-window.ts';
import { seriesRuns } from '../../../support/series.ts';
import { describeWithTools } from '../../../support/tools.ts';
import { type JpegCrop, jpegCrops, jpegCropWindow } from './jpeg-crops.ts';
import { type JpegRecipe, jpegMade } from './jpeg-made.ts';
import {
  jpegCanonical,
  jpegCroppedByOracle,
  jpegSamples,
  jpegTransformed,
  samplesCut,
} from './jpeg-tools.ts';

const PLAIN: JpegRecipe = {
  width: 107,
  height: 83,
  sampling: [
    [2, 2],
    [1, 1],
    [1, 1],
  ],
  scans: [[0, 1, 2]],
  restartInterval: 0,
  hasWideQuantisation: false,
  adobeTransform: undefined,
  seed: 7,
};

const crops = (jpeg: Uint8Array, windows: readonly PixelWindow[]): readonly JpegCrop[] => {
  const outcome = jpegCrops(jpeg, windows);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
};

/** Sampling factors seen in files, and some that T.81 allows and nobody uses. */
const sampling = fc.constantFrom<JpegRecipe['sampling']>(
  [[1, 1]],
  [[2, 2]],
  [
    [1, 1],
    [1, 1],
    [1, 1],
  ],
  [
    [2, 1],
    [1, 1],
    [1, 1],
  ],
  [
    [1, 2],
    [1, 1],
    [1, 1],
  ],
  [
    [2, 2],
    [1, 1],
    [1, 1],
  ],
  [
    [4, 1],
    [1, 1],
    [1, 1],
  ],
  [
    [1, 4],
    [1, 1],
    [1, 1],
  ],
  [
    [2, 2],
    [2, 1],
    [1, 2],
  ],
  [
    [1, 1],
    [2, 2],
    [1, 2],
  ],
  [
    [1, 1],
    [1, 1],
    [1, 1],
    [1, 1],
  ],
  [
    [2, 2],
    [1, 1],
    [1, 1],
    [2, 2],
  ],
);

const recipe: fc.Arbitrary<JpegRecipe> = sampling.chain((factors) => {
  const all = factors.map((_, i) => i);
  return fc.record({
    width: fc.integer({ min: 1, max: 140 }),
    height: fc.integer({ min: 1, max: 120 }),
    sampling: fc.constant(factors),
    scans: fc.constantFrom(
      [all],
      all.map((c) => [c]),
      all.length > 2 ? [[0], all.slice(1)] : [all],
    ),
    restartInterval: fc.constantFrom(0, 0, 1, 3, 17),
    hasWideQuantisation: fc.boolean(),
    adobeTransform: fc.constantFrom(undefined, 0, factors.length === 4 ? 2 : 1),
    seed: fc.nat(),
  });
});

const windowWithin = (width: number, height: number): fc.Arbitrary<PixelWindow> =>
  fc
    .tuple(fc.nat(width - 1), fc.nat(height - 1), fc.nat(), fc.nat())
    .map(([x, y, a, b]) => ({ x, y, width: 1 + (a % (width - x)), height: 1 + (b % (height - y)) }));

const withWindows = (
  made: fc.Arbitrary<JpegRecipe>,
): fc.Arbitrary<{ made: JpegRecipe; windows: PixelWindow[] }> =>
  made.chain((r) =>
    fc.record({
      made: fc.constant(r),
      windows: fc.array(windowWithin(r.width, r.height), { minLength: 1, maxLength: 3 }),
    }),
  );

/** How a file may be coded once its coefficients are fixed, by jpegtran. */
const CODINGS: Readonly<Record<string, readonly string[] | undefined>> = {
  'as made': undefined,
  'with tailored tables': ['-optimize'],
  progressive: ['-progressive'],
  'progressive with restarts': ['-progressive', '-restart', '2B'],
};

describeWithTools(['jpegtran'], 'JPEG crops against jpegtran', () => {
  for (const [coding, args] of Object.entries(CODINGS)) {
    it(`have the coefficients that jpegtran -crop keeps: ${coding}`, () => {
      fc.assert(
        fc.property(withWindows(recipe), ({ made, windows }) => {
          const source = args ? jpegTransformed(jpegMade(made), '-copy', 'all', ...args) : jpegMade(made);
          for (const crop of crops(source, windows)) {
            expect(jpegCanonical(crop.bytes)).toEqual(jpegCroppedByOracle(source, crop));
          }
        }),
        seriesRuns(8, 800, 20250),
      );
    });
  }

  it('decode to the same samples inside the window, chroma smoothed across the cut', () => {
    const smooth = recipe.filter(
      ({ sampling: factors }) =>
        factors.length === 1 || (factors.length === 3 && factors[0]![0] >= factors[1]![0]),
    );
    fc.assert(
      fc.property(withWindows(smooth), fc.boolean(), ({ made, windows }, isProgressive) => {
        const plain = jpegMade(made);
        const source = isProgressive ? jpegTransformed(plain, '-copy', 'all', '-progressive') : plain;
        const whole = jpegSamples(source);
        crops(source, windows).forEach((crop, i) => {
          const window = windows[i]!;
          const inCrop = { ...window, x: window.x - crop.x, y: window.y - crop.y };
          expect(samplesCut(jpegSamples(crop.bytes), inCrop)).toEqual(samplesCut(whole, window));
        });
      }),
      seriesRuns(8, 800, 20251),
    );
  });

  it('are about as large as jpegtran makes them', () => {
    const large = { ...PLAIN, width: 700, height: 500 };
    const window = { x: 130, y: 90, width: 390, height: 310 };
    for (const args of [['-optimize'], ['-progressive']]) {
      const source = jpegTransformed(jpegMade(large), '-copy', 'all', ...args);
      const [crop] = crops(source, [window]);
      const { width, height, x, y } = crop!;
      const oracle = jpegTransformed(
        source,
        '-copy',
        'all',
        ...args,
        '-crop',
        `${width}x${height}+${x}+${y}`,
      );
      expect(crop!.bytes.length).toBeLessThan(oracle.length * 1.03);
    }
  });
});

describe('JPEG crops', () => {
  it('grow outwards to coded units, with the reach of chroma smoothing', () => {
    const frame = jpegFrameFromHead(jpegMade(PLAIN))!;
    expect([frame.mcuWidth, frame.mcuHeight, frame.reachX, frame.reachY]).toEqual([16, 16, 2, 2]);
    // 33 − 2 falls into the unit that begins at 16; 62 + 2 ends on a unit's edge.
    expect(jpegCropWindow({ x: 33, y: 50, width: 29, height: 12 }, frame)).toEqual({
      x: 16,
      y: 48,
      width: 48,
      height: 16,
    });
    expect(jpegCropWindow({ x: 90, y: 70, width: 17, height: 13 }, frame)).toEqual({
      x: 80,
      y: 64,
      width: 27,
      height: 19,
    });
  });

  it('keep what tells colors (APP0, APP2, APP14) and leave comments and restart intervals', () => {
    const source = jpegMade({ ...PLAIN, adobeTransform: 1, restartInterval: 4 });
    const [crop] = crops(source, [{ x: 20, y: 30, width: 40, height: 20 }]);
    const markers = markerList(crop!.bytes);
    expect(markers).toEqual([0xee, 0xdb, 0xdb, 0xc0, 0xc4, 0xc4, 0xda]);
  });

  it('refuse with a reason what cannot be cut in the coefficient domain', () => {
    const reason = (bytes: Uint8Array): string => {
      const outcome = jpegCrops(bytes, [{ x: 0, y: 0, width: 5, height: 5 }]);
      return outcome.ok ? 'none' : outcome.problem.code;
    };
    const source = jpegMade(PLAIN);
    const sof = source.findIndex((byte, i) => byte === 0xff && source[i + 1] === 0xc0);
    const withByte = (at: number, value: number): Uint8Array => source.with(at, value);
    expect(reason(source)).toBe('none');
    expect(reason(withByte(sof + 1, 0xc9))).toBe('image-arithmetic-coding');
    expect(reason(withByte(sof + 1, 0xc3))).toBe('image-lossless-coding');
    expect(reason(withByte(sof + 1, 0xc5))).toBe('image-hierarchical-coding');
    expect(reason(withByte(sof + 4, 12))).toBe('image-precision');
    expect(reason(source.with(sof + 5, 0).with(sof + 6, 0))).toBe('image-height-unknown');
    expect(reason(source.subarray(1))).toBe('image-corrupt');
    expect(reason(source.subarray(0, sof + 6))).toBe('image-corrupt');
    // Cut in the middle of the scan: the rows above are there, but not all that the window wants.
    expect(
      jpegCrops(source.subarray(0, source.length >> 1), [{ x: 0, y: 0, width: 107, height: 83 }]).ok,
    ).toBe(false);
  });

  it('never break on damaged data: a crop or a refusal, no other error', () => {
    const source = jpegMade({ ...PLAIN, restartInterval: 3, scans: [[0], [1, 2]] });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(source.length - 1), fc.nat(255)), { minLength: 1, maxLength: 6 }),
        (changes) => {
          const damaged = source.slice();
          for (const [at, value] of changes) damaged[at] = value;
          const frame = jpegCrops(damaged, []).ok ? jpegFrameFromHead(damaged) : undefined;
          if (frame) {
            const window = { x: 0, y: 0, width: Math.min(9, frame.width), height: Math.min(9, frame.height) };
            expect(typeof jpegCrops(damaged, [window]).ok).toBe('boolean');
          }
        },
      ),
      seriesRuns(100, 10_000, 20252),
    );
  });

  it('come in pieces, a row of coded units at a time', () => {
    const windows = [
      { x: 10, y: 12, width: 50, height: 33 },
      { x: 40, y: 3, width: 60, height: 70 },
    ];
    const source = jpegMade(PLAIN);
    const files: number[][] = [[], []];
    let rowsDone = 0;
    const file = jpegFileFromBytes(source);
    const exact = windows.map((window) => jpegCropWindow(window, file.frame));
    const steps = jpegFileCropSteps(file, exact, (mcus) => scanRewriters(source, file, mcus));
    for (const step of steps) {
      for (const { window, bytes } of step.pieces) files[window]!.push(...bytes);
      expect(step.rowsDone - rowsDone).toBeLessThanOrEqual(1);
      rowsDone = step.rowsDone;
    }
    // The lower window ends in row 73, reach 2: five units of 16.
    expect(rowsDone).toBe(5);
    expect(files.map((file) => Uint8Array.from(file))).toEqual(
      crops(source, windows).map(({ bytes }) => bytes),
    );
  });
});

/** Markers after SOI up to the first scan. */
function markerList(jpeg: Uint8Array): number[] {
  const found: number[] = [];
  for (let at = 2; found.at(-1) !== 0xda; at += 2 + ((jpeg[at + 2]! << 8) | jpeg[at + 3]!))
    found.push(jpeg[at + 1]!);
  return found;
}

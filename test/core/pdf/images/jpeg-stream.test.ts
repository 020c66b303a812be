import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jpegFrameFromHead } from '../../../../core/pdf/images/jpeg-markers.ts';
import { cropJpeg, MAX_HELD_BYTES } from '../../../../core/pdf/images/jpeg-stream.ts';
import type { PixelWindow } from '../../../../core/pdf/images/pixel-window.ts';
import { inPieces, KeptBytes } from './flate-node.ts';
import { jpegCrops, jpegCropWindow } from './jpeg-crops.ts';
import { type JpegRecipe, jpegMade } from './jpeg-made.ts';

const RECIPE: JpegRecipe = {
  width: 171,
  height: 230,
  sampling: [
    [2, 2],
    [1, 1],
    [1, 1],
  ],
  scans: [[0, 1, 2]],
  restartInterval: 0,
  hasWideQuantisation: false,
  adobeTransform: undefined,
  seed: 14,
};

const WINDOWS: readonly PixelWindow[] = [
  { x: 10, y: 12, width: 50, height: 190 },
  { x: 40, y: 3, width: 131, height: 70 },
];

async function streamed(
  source: AsyncIterable<Uint8Array>,
  crops: readonly PixelWindow[],
  onRows: (done: number, rows: number) => void = () => undefined,
): Promise<Uint8Array[]> {
  const sinks = crops.map(() => new KeptBytes());
  await cropJpeg(source, crops, sinks, onRows);
  return sinks.map(({ bytes }) => bytes);
}

function cropsOf(jpeg: Uint8Array): PixelWindow[] {
  const frame = jpegFrameFromHead(jpeg)!;
  return WINDOWS.map((window) => jpegCropWindow(window, frame));
}

describe('JPEG crops while the data come', () => {
  it('are those of the JPEG in memory, wherever the data are split', async () => {
    const recipes = fc.record({
      restartInterval: fc.constantFrom(0, 1, 7, 11),
      scans: fc.constantFrom<JpegRecipe['scans']>([[0, 1, 2]], [[0], [1, 2]]),
      seed: fc.nat(),
    });
    await fc.assert(
      fc.asyncProperty(recipes, fc.integer({ min: 1, max: 3000 }), async (varied, size) => {
        const jpeg = jpegMade({ ...RECIPE, ...varied });
        const whole = jpegCrops(jpeg, WINDOWS);
        if (!whole.ok) throw new Error(whole.problem.message);
        const crops = cropsOf(jpeg);
        expect(await streamed(inPieces(jpeg, size), crops)).toEqual(whole.value.map(({ bytes }) => bytes));
      }),
      { numRuns: 40, seed: 81 },
    );
  });

  it('are written when a few rows have been read, and reading ends with the last row that is wanted', async () => {
    const jpeg = jpegMade({ ...RECIPE, width: 64, height: 60_000 });
    const crops = [{ x: 0, y: 0, width: 64, height: 48_000 }];
    let read = 0;
    let furthestAhead = 0;
    async function* counted(): AsyncGenerator<Uint8Array> {
      for await (const piece of inPieces(jpeg, 4000)) {
        read += piece.length;
        yield piece;
      }
    }
    await streamed(counted(), crops, (done) => {
      furthestAhead = Math.max(furthestAhead, read - (jpeg.length * done * 16) / 60_000);
    });
    expect(jpeg.length).toBeGreaterThan(600_000);
    expect(furthestAhead).toBeLessThan(200_000);
    expect(read).toBeLessThan(jpeg.length * 0.9);
  });

  it('data that end early or go on as something else are refused', async () => {
    const jpeg = jpegMade(RECIPE);
    const crops = cropsOf(jpeg);
    await expect(streamed(inPieces(jpeg.subarray(0, jpeg.length >> 1), 500), crops)).rejects.toThrow();
    await expect(streamed(inPieces(jpeg.subarray(0, 40), 10), crops)).rejects.toThrow('no picture');
    await expect(streamed(inPieces(new Uint8Array(0), 10), crops)).rejects.toThrow('no picture');
  });

  it('a JPEG in several scans is refused where it would have to be held beyond the limit', async () => {
    const jpeg = jpegMade({ ...RECIPE, scans: [[0], [1, 2]] });
    async function* endless(): AsyncGenerator<Uint8Array> {
      yield jpeg;
      const more = new Uint8Array(16 << 20);
      for (;;) yield more;
    }
    await expect(streamed(endless(), cropsOf(jpeg))).rejects.toMatchObject({
      problem: { code: 'image-too-large', message: expect.stringContaining(`${MAX_HELD_BYTES >> 20} MB`) },
    });
  });
});

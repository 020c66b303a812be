import { deflateSync, inflateSync } from 'node:zlib';
import { createCanvas, loadImage } from '@napi-rs/canvas';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  cropEntries,
  cropImage,
  type ImageDescription,
  type ImageForm,
  imageForm,
} from '../../../../core/pdf/images/image-crop.ts';
import type { PixelWindow } from '../../../../core/pdf/images/pixel-window.ts';
import { ascii85Coded, asciiHexCoded, lzwCoded, runLengthCoded } from './byte-codings.ts';
import { inPieces, KeptBytes, nodeFlate } from './flate-node.ts';
import { pngFile, pngUnfiltered } from './png-file.ts';
import { pngCoded, type Raster, rasterBytes, rasterCut, rasterMade, tiffCoded } from './raster-made.ts';

type Coding = 'plain' | 'flate' | 'flate-png' | 'flate-tiff' | 'lzw' | 'lzw-tiff' | 'run-length' | 'ascii';

interface Stored {
  readonly description: ImageDescription;
  readonly data: Uint8Array;
}

function stored(raster: Raster, coding: Coding): Stored {
  const { width, height, components, bits } = raster;
  const predicted = (Predictor: number) => ({
    Predictor,
    Columns: width,
    Colors: components,
    BitsPerComponent: bits,
  });
  const plain = rasterBytes(raster);
  const ascii = (text: string): Uint8Array => new TextEncoder().encode(text);
  const coded: Record<Coding, () => readonly [Uint8Array, ImageDescription['filters']]> = {
    plain: () => [plain, []],
    flate: () => [deflateSync(plain), [{ name: 'FlateDecode', parms: {} }]],
    'flate-png': () => [
      deflateSync(pngCoded(raster, width)),
      [{ name: 'FlateDecode', parms: predicted(12) }],
    ],
    'flate-tiff': () => [deflateSync(tiffCoded(raster)), [{ name: 'FlateDecode', parms: predicted(2) }]],
    lzw: () => [lzwCoded(plain, 0), [{ name: 'LZWDecode', parms: { EarlyChange: 0 } }]],
    'lzw-tiff': () => [lzwCoded(tiffCoded(raster), 1), [{ name: 'LZWDecode', parms: predicted(2) }]],
    'run-length': () => [runLengthCoded(plain), [{ name: 'RunLengthDecode', parms: {} }]],
    ascii: () => [
      ascii(asciiHexCoded(ascii(ascii85Coded(plain)))),
      [
        { name: 'ASCIIHexDecode', parms: {} },
        { name: 'ASCII85Decode', parms: {} },
      ],
    ],
  };
  const [data, filters] = coded[coding]();
  return { description: { width, height, bitsPerComponent: bits, components, filters }, data };
}

async function form({ description, data }: Stored): Promise<ImageForm> {
  const found = await imageForm(description, inPieces(data, 1000), nodeFlate);
  if (!found.ok) throw new Error(found.problem.message);
  return found.value;
}

/** The crops' streams, still packed. */
async function cropped(image: Stored, windows: readonly PixelWindow[], piece: number): Promise<Uint8Array[]> {
  const sinks = windows.map(() => new KeptBytes());
  const outcome = await cropImage(await form(image), windows, inPieces(image.data, piece), nodeFlate, sinks);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  expect(sinks.every(({ isEnded }) => isEnded)).toBe(true);
  return sinks.map(({ bytes }) => bytes);
}

const shape = fc.record({
  width: fc.integer({ min: 1, max: 41 }),
  height: fc.integer({ min: 1, max: 19 }),
  components: fc.integer({ min: 1, max: 5 }),
  bits: fc.constantFrom(1, 2, 4, 8, 16),
});

const windowIn = ({ width, height }: { width: number; height: number }): fc.Arbitrary<PixelWindow> =>
  fc
    .tuple(fc.nat(width - 1), fc.nat(height - 1), fc.nat(), fc.nat())
    .map(([x, y, a, b]) => ({ x, y, width: 1 + (a % (width - x)), height: 1 + (b % (height - y)) }));

const cases = shape.chain((made) =>
  fc.record({
    made: fc.constant(made),
    seed: fc.nat(),
    windows: fc.array(windowIn(made), { minLength: 1, maxLength: 4 }),
    piece: fc.constantFrom(1, 13, 100_000),
  }),
);

/** What a reader of the crop finds, by a decoder that knows one predictor and no streaming. */
function samplesRead(crop: Uint8Array, entries: ReturnType<typeof cropEntries>, raster: Raster): Uint8Array {
  const bytes = new Uint8Array(inflateSync(crop));
  const predictor = entries.DecodeParms?.Predictor ?? 1;
  if (predictor === 1) return bytes;
  expect(entries.DecodeParms).toMatchObject({
    Columns: entries.Width,
    Colors: raster.components,
    BitsPerComponent: raster.bits,
  });
  return pngUnfiltered(bytes, raster, entries.Width);
}

describe('Raster crops', () => {
  for (const coding of ['plain', 'flate', 'flate-png', 'lzw', 'run-length', 'ascii'] as const) {
    it(`hold the samples of the window, at any depth and number of components: ${coding}`, async () => {
      await fc.assert(
        fc.asyncProperty(cases, async ({ made, seed, windows, piece }) => {
          const raster = rasterMade(made, seed);
          const image = stored(raster, coding);
          const crops = await cropped(image, windows, piece);
          const found = await form(image);
          windows.forEach((window, i) => {
            const entries = cropEntries(found, window);
            expect([entries.Width, entries.Height]).toEqual([window.width, window.height]);
            expect(samplesRead(crops[i]!, entries, raster)).toEqual(rasterBytes(rasterCut(raster, window)));
          });
        }),
        { numRuns: 50, seed: 20270 },
      );
    });
  }

  for (const coding of ['flate-tiff', 'lzw-tiff'] as const) {
    it(`keep TIFF's predictor 2, differences starting anew at the window's edge: ${coding}`, async () => {
      await fc.assert(
        fc.asyncProperty(cases, async ({ made, seed, windows, piece }) => {
          const raster = rasterMade(made, seed);
          const image = stored(raster, coding);
          const crops = await cropped(image, windows, piece);
          const found = await form(image);
          windows.forEach((window, i) => {
            expect(cropEntries(found, window).DecodeParms?.Predictor).toBe(2);
            expect(new Uint8Array(inflateSync(crops[i]!))).toEqual(tiffCoded(rasterCut(raster, window)));
          });
        }),
        { numRuns: 50, seed: 20271 },
      );
    });
  }

  it('keep PNG rows that a PNG decoder reads as the same pixels', async () => {
    for (const [components, bits] of [
      [1, 1],
      [1, 2],
      [1, 4],
      [1, 8],
      [3, 8],
    ] as const) {
      const raster = rasterMade({ width: 57, height: 23, components, bits }, 31 * bits + components);
      const window = { x: 11, y: 5, width: 38, height: 13 };
      const [crop] = await cropped(stored(raster, 'flate-png'), [window], 77);
      const expected = rasterCut(raster, window).samples.map((sample) => (sample * 255) / (2 ** bits - 1));
      const channels = await pngPixels(pngFile(crop!, { ...window, components, bits }));
      expect(channels.filter((_, i) => (components === 3 ? i % 4 < 3 : i % 4 === 0))).toEqual(expected);
    }
  });

  it('are the same bytes every time, and stop reading at the last row that is wanted', async () => {
    const raster = rasterMade({ width: 64, height: 4000, components: 4, bits: 8 }, 5);
    const image = stored(raster, 'plain');
    const window = { x: 3, y: 100, width: 50, height: 200 };
    let read = 0;
    async function* counted(): AsyncIterable<Uint8Array> {
      for await (const piece of inPieces(image.data, 1024)) {
        read += piece.length;
        yield piece;
      }
    }
    const sink = new KeptBytes();
    expect((await cropImage(await form(image), [window], counted(), nodeFlate, [sink])).ok).toBe(true);
    expect(read).toBe(300 * 64 * 4);
    expect((await cropped(image, [window], 999))[0]).toEqual(sink.bytes);
  });

  it('refuse data that end early, and dictionaries that contradict the data', async () => {
    const raster = rasterMade({ width: 30, height: 40, components: 3, bits: 8 }, 9);
    const image = stored(raster, 'flate-png');
    const window = { x: 2, y: 3, width: 20, height: 37 };
    const found = await form(image);
    const half = inPieces(image.data.subarray(0, image.data.length >> 1), 500);
    const outcome = await cropImage(found, [window], half, nodeFlate, [new KeptBytes()]);
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'image-corrupt' } });
    const wrong = { ...image, description: { ...image.description, width: 31 } };
    await expect(form(wrong)).rejects.toThrow('states a width of 31, its data have 30');
  });

  it('pass on what the disk says, and stop when asked', async () => {
    const raster = rasterMade({ width: 300, height: 900, components: 3, bits: 8 }, 9);
    const image = stored(raster, 'plain');
    const found = await form(image);
    const window = { x: 0, y: 0, width: 300, height: 900 };
    const full = { write: () => Promise.reject(new Error('No space left')), end: () => undefined };
    await expect(cropImage(found, [window], inPieces(image.data, 9999), nodeFlate, [full])).rejects.toThrow(
      'No space left',
    );
    const stop = (): void => {
      throw new Error('Stopped');
    };
    await expect(
      cropImage(found, [window], inPieces(image.data, 9999), nodeFlate, [new KeptBytes()], stop),
    ).rejects.toThrow('Stopped');
  });
});

/** RGBA of every pixel, by the canvas' own PNG decoder. */
async function pngPixels(png: Uint8Array): Promise<number[]> {
  const image = await loadImage(Buffer.from(png));
  const canvas = createCanvas(image.width, image.height);
  const context = canvas.getContext('2d');
  context.drawImage(image, 0, 0);
  return [...context.getImageData(0, 0, image.width, image.height).data];
}

import { deflateSync } from 'node:zlib';
import { PDFRef, PDFStream } from 'pdf-lib';
import { expect, it } from 'vitest';
import { InkImages, imageOfInks } from '../../../core/ink/plate-image.ts';
import { flateCodec } from '../../../main/cut/flate.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { artworkOf } from '../../support/reduced-check.ts';

/** More than sixteen million pixels; three by three become one, and the last column and row hold fewer. */
const WIDTH = 4102;
const HEIGHT = 3904;
const sampleAt = (x: number, y: number, ink: number): number => (x * 7 + y * 13 + ink * 50) % 251;
const period = Array.from({ length: 251 }, (_, y) =>
  Uint8Array.from({ length: WIDTH * 4 }, (_, i) => sampleAt(i >> 2, y, i & 3)),
);
const samples = Buffer.concat(Array.from({ length: HEIGHT }, (_, y) => period[y % 251]!));

async function averaged(data: Uint8Array) {
  const pdf = rawPdf({
    page: '/MediaBox [0 0 300 200]',
    content: 'q 300 0 0 200 0 0 cm /Photo Do Q',
    resources: '/XObject << /Photo 20 0 R >>',
    objects: {
      20: {
        dict: `/Type /XObject /Subtype /Image /Width ${WIDTH} /Height ${HEIGHT} /ColorSpace /DeviceCMYK /BitsPerComponent 8 /Filter /FlateDecode`,
        data,
      },
    },
  });
  const { file } = await artworkOf(pdf);
  const stream = await file.resolved(PDFRef.of(20));
  if (!(stream instanceof PDFStream)) throw new Error('There is no picture.');
  const image = (await imageOfInks(file, stream.dict))!;
  let pauses = 0;
  const pause = async () => void pauses++;
  const picked = await new InkImages().picked(
    file,
    stream,
    image,
    { parts: [1, 3], need: undefined },
    { flate: flateCodec(), pause },
  );
  return { picked, pauses };
}

it('a picture too large to be held is averaged while it is unpacked, and the mean of each square is exact', async () => {
  const { picked, pauses } = await averaged(deflateSync(samples, { level: 1 }));
  expect(picked).toMatchObject({ widthPx: 1368, heightPx: 1302 });
  expect(pauses).toBeGreaterThan(10);
  for (const [column, row] of [
    [0, 0],
    [700, 411],
    [1367, 500],
    [31, 1301],
    [1367, 1301],
  ] as const) {
    for (const [place, ink] of [1, 3].entries()) {
      let [sum, count] = [0, 0];
      for (let y = row * 3; y < Math.min(HEIGHT, row * 3 + 3); y++) {
        for (let x = column * 3; x < Math.min(WIDTH, column * 3 + 3); x++) {
          sum += sampleAt(x, y % 251, ink);
          count += 1;
        }
      }
      const light = picked!.samples[(row * 1368 + column) * 2 + place]!;
      expect(light).toBe(Math.round(255 * (1 - sum / count / 255)));
    }
  }
});

it.each([
  ['light of three colors', 3, 'DeviceRGB', [0, 1, 2]],
  ['light of one color', 1, 'DeviceGray', [0]],
  ['four inks', 4, 'DeviceCMYK', [0, 1, 2, 3]],
] as const)(
  'a picture of %s gets a pixel for each drawn one, and is unpacked once for all',
  async (_, components, space, parts) => {
    const [width, height] = [60, 40];
    const value = (x: number, y: number, c: number) => (x * 11 + y * 17 + c * 60) % 256;
    const data = Uint8Array.from({ length: width * height * components }, (__, i) => {
      const pixel = Math.floor(i / components);
      return value(pixel % width, Math.floor(pixel / width), i % components);
    });
    const pdf = rawPdf({
      page: '/MediaBox [0 0 300 200]',
      content: 'q 300 0 0 200 0 0 cm /Photo Do Q',
      resources: '/XObject << /Photo 20 0 R >>',
      objects: {
        20: {
          dict: `/Type /XObject /Subtype /Image /Width ${width} /Height ${height} /ColorSpace /${space} /BitsPerComponent 8 /Filter /FlateDecode`,
          data: deflateSync(data),
        },
      },
    });
    const { file } = await artworkOf(pdf);
    const stream = await file.resolved(PDFRef.of(20));
    if (!(stream instanceof PDFStream)) throw new Error('There is no picture.');
    const image = (await imageOfInks(file, stream.dict, components))!;
    const images = new InkImages();
    let unpackings = 0;
    const codec = flateCodec();
    const flate = {
      ...codec,
      inflate: (source: AsyncIterable<Uint8Array>) => {
        unpackings++;
        return codec.inflate(source);
      },
    };
    const picked = async (acrossPx: number, downPx: number) =>
      await images.picked(file, stream, image, { parts, need: { acrossPx, downPx } }, { flate });
    const small = (await picked(15, 9))!;
    expect(small).toMatchObject({ widthPx: 15, heightPx: 10 });
    let sum = 0;
    for (let y = 12; y < 16; y++) for (let x = 28; x < 32; x++) sum += value(x, y, components - 1);
    const mean = components === 4 ? 255 - sum / 16 : sum / 16;
    expect(small.samples[(3 * 15 + 7) * components + components - 1]).toBeCloseTo(mean, -0.4);
    expect(await picked(10, 6)).toEqual(small);
    expect(unpackings).toBe(1);
    expect(await picked(60, 40)).toMatchObject({ widthPx: 60, heightPx: 40 });
    expect(unpackings).toBe(2);
  },
);

it('a picture whose data end early is left to what draws the page', async () => {
  const { picked } = await averaged(deflateSync(samples.subarray(0, samples.length / 2), { level: 1 }));
  expect(picked).toBeUndefined();
});

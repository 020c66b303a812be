import { deflateSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { MemoryOutput } from '../../../core/pdf/write/memory-output.ts';
import { ReducedImages } from '../../../core/preview/image-reduction.ts';
import { writeReducedPage } from '../../../core/preview/reduced-page.ts';
import { flateCodec } from '../../../main/cut/flate.ts';
import { demoArt } from '../../support/demo-art.ts';
import { resultValue } from '../../support/panel-check.ts';
import { pdfiumPicture } from '../../support/pdfium.ts';
import { colorCount, pictureCropped, pictureDifference, pixelAt } from '../../support/picture.ts';
import { SMOOTH_PAGES } from '../../support/picture-pages.ts';
import { type RawObject, rawPdf } from '../../support/raw-pdf.ts';
import { artworkOf, likeness, REQUEST, tryReduced } from '../../support/reduced-check.ts';
import { withPdfFile } from '../../support/tool-renderers.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';
import { TRAP_PAGES } from '../../support/trap-pages.ts';
import { asciiHexCoded, bytesFromBits, lzwCoded, runLengthCoded } from '../pdf/images/byte-codings.ts';
import { type Raster, rasterBytes, tiffCoded } from '../pdf/images/raster-made.ts';

const SLOW_MS = 60_000;

describe('a reduced copy of a page looks like the page', () => {
  it.each(TRAP_PAGES.map(({ name, pdf }) => [name, pdf] as const))('%s', async (_, pdf) => {
    const { whole, reduced } = await likeness(pdf, { longestPx: 210 });
    expect(colorCount(whole)).toBeGreaterThan(1);
    expect(pictureDifference(whole, reduced).largest).toBe(0);
  });

  it.each(SMOOTH_PAGES.map(({ name, pdf }) => [name, pdf] as const))('a picture %s', async (_, pdf) => {
    const { whole, mean, apart } = await likeness(pdf);
    expect(colorCount(whole)).toBeGreaterThan(20);
    expect(mean).toBeLessThan(1.1);
    expect(apart).toBeLessThan(0.01);
  });

  it.each([
    ['the demo bookmobile', 'bookmobile', 3],
    ['the demo trailer', 'trailer', 2],
  ] as const)(
    '%s, at the size of the coarse picture',
    async (_, name, pages) => {
      const pdf = await demoArt(name);
      for (let page = 1; page <= pages; page++) {
        const { whole, mean, apart } = await likeness(pdf, { page, longestPx: 1024, leastPixels: 1 << 18 });
        expect(Math.max(whole.width, whole.height)).toBeCloseTo(1024, -1);
        expect(mean).toBeLessThan(0.4);
        expect(apart).toBeLessThan(0.002);
      }
    },
    SLOW_MS,
  );
});

it('copies of pages that show one picture unpack it once', async () => {
  const data = deflateSync(new Uint8Array(600 * 400).fill(70));
  const artwork = await artworkOf(
    rawPdf({
      page: '/MediaBox [0 0 300 200]',
      content: 'q 300 0 0 200 0 0 cm /Photo Do Q',
      resources: '/XObject << /Photo 20 0 R >>',
      objects: {
        20: {
          dict: '/Type /XObject /Subtype /Image /Width 600 /Height 400 /ColorSpace /DeviceGray /BitsPerComponent 8 /Filter /FlateDecode',
          data,
        },
      },
    }),
  );
  const codec = flateCodec();
  let unpackings = 0;
  const flate = {
    ...codec,
    inflate: (source: AsyncIterable<Uint8Array>) => {
      unpackings++;
      return codec.inflate(source);
    },
  };
  const tools = { flate, images: new ReducedImages() };
  const copy = async (longestPx: number) => {
    const output = new MemoryOutput();
    resultValue(await writeReducedPage(artwork, { ...REQUEST, longestPx }, output, tools));
    return output.bytes();
  };
  const first = await copy(100);
  expect(Buffer.from(await copy(100)).equals(first)).toBe(true);
  expect(unpackings).toBe(1);
  await copy(50);
  expect(unpackings).toBe(2);
});

it('a copy that is to spare the unpacking of pictures is none where no picture is large', async () => {
  const pdf = rawPdf({ page: '/MediaBox [0 0 300 200]', content: '1 0 0 rg 0 0 90 70 re f' });
  const { written } = await tryReduced(pdf, { isOfPictures: true });
  expect(written).toMatchObject({ ok: false, problem: { code: 'reduced-same' } });
});

/** Two pixels a point over all of the page, as most pictures are. */
const WIDTH = 600;
const HEIGHT = 400;
const wave = (x: number, y: number, c: number): number =>
  0.5 + 0.23 * Math.sin(x / 37 + c) + 0.23 * Math.cos(y / 23 + 2 * c);
const smooth = (components: number, bits: number): Raster => ({
  width: WIDTH,
  height: HEIGHT,
  components,
  bits,
  samples: Array.from({ length: WIDTH * HEIGHT * components }, (_, i) => {
    const pixel = Math.floor(i / components);
    const level = wave(pixel % WIDTH, Math.floor(pixel / WIDTH), i % components);
    return Math.round(level * (2 ** bits - 1));
  }),
});
const placed = (dict: string, data: Uint8Array, more: Record<number, RawObject> = {}): Uint8Array =>
  rawPdf({
    page: `/MediaBox [0 0 ${WIDTH / 2} ${HEIGHT / 2}]`,
    content: `0.9 0.7 0.1 rg 0 0 300 200 re f q 300 0 0 200 0 0 cm /Photo Do Q`,
    resources: '/XObject << /Photo 20 0 R >>',
    objects: {
      20: { dict: `/Type /XObject /Subtype /Image /Width ${WIDTH} /Height ${HEIGHT} ${dict}`, data },
      ...more,
    },
  });
const flate = (raster: Raster): Uint8Array => deflateSync(rasterBytes(raster));
const parms = ({ components, bits }: Raster, predictor: number): string =>
  `/DecodeParms << /Predictor ${predictor} /Colors ${components} /BitsPerComponent ${bits} /Columns ${WIDTH} >>`;
const [GRAY, RGB, CMYK] = [smooth(1, 8), smooth(3, 8), smooth(4, 8)];
const PALETTE = Buffer.from(Array.from({ length: 48 }, (_, i) => 40 + 4 * i)).toString('hex');
const TINT = '<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0.1 0.9 0.4 0.2] >>';

const KINDS: readonly (readonly [string, Uint8Array])[] = [
  ['without any packing', placed('/ColorSpace /DeviceRGB /BitsPerComponent 8', rasterBytes(RGB))],
  ['in four inks', placed('/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Filter /FlateDecode', flate(CMYK))],
  [
    'in four inks turned over',
    placed(
      '/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Decode [1 0 1 0 1 0 1 0] /Filter /FlateDecode',
      flate(CMYK),
    ),
  ],
  [
    'of sixteen bits',
    placed('/ColorSpace /DeviceRGB /BitsPerComponent 16 /Filter /FlateDecode', flate(smooth(3, 16))),
  ],
  [
    'of four bits',
    placed('/ColorSpace /DeviceRGB /BitsPerComponent 4 /Filter /FlateDecode', flate(smooth(3, 4))),
  ],
  [
    'of two bits',
    placed('/ColorSpace /DeviceGray /BitsPerComponent 2 /Filter /FlateDecode', flate(smooth(1, 2))),
  ],
  [
    'of one bit',
    placed('/ColorSpace /DeviceGray /BitsPerComponent 1 /Filter /FlateDecode', flate(smooth(1, 1))),
  ],
  [
    'coded by the TIFF predictor',
    placed(
      `/ColorSpace /DeviceRGB /BitsPerComponent 8 /Filter /FlateDecode ${parms(RGB, 2)}`,
      deflateSync(tiffCoded(RGB)),
    ),
  ],
  [
    'in run lengths',
    placed(
      '/ColorSpace /DeviceGray /BitsPerComponent 8 /Filter /RunLengthDecode',
      runLengthCoded(rasterBytes(GRAY)),
    ),
  ],
  [
    'packed by LZW',
    placed('/ColorSpace /DeviceGray /BitsPerComponent 8 /Filter /LZWDecode', lzwCoded(rasterBytes(GRAY), 1)),
  ],
  [
    'packed twice',
    placed(
      '/ColorSpace /DeviceGray /BitsPerComponent 8 /Filter [/ASCIIHexDecode /FlateDecode]',
      Buffer.from(asciiHexCoded(flate(GRAY))),
    ),
  ],
  [
    'in a spot ink',
    placed(
      `/ColorSpace [/Separation /Signal /DeviceCMYK ${TINT}] /BitsPerComponent 8 /Filter /FlateDecode`,
      flate(GRAY),
    ),
  ],
  [
    'in Lab',
    placed(
      '/ColorSpace [/Lab << /WhitePoint [0.96 1 0.82] /Range [-90 90 -80 80] >>] /BitsPerComponent 8 /Filter /FlateDecode',
      flate(RGB),
    ),
  ],
  [
    'of a palette',
    placed(
      `/ColorSpace [/Indexed /DeviceRGB 15 <${PALETTE}>] /BitsPerComponent 4 /Filter /FlateDecode`,
      flate(smooth(1, 4)),
    ),
  ],
  [
    'mixed with a matte',
    placed('/ColorSpace /DeviceRGB /BitsPerComponent 8 /SMask 21 0 R /Filter /FlateDecode', flate(RGB), {
      21: {
        dict: `/Type /XObject /Subtype /Image /Width ${WIDTH} /Height ${HEIGHT} /ColorSpace /DeviceGray /BitsPerComponent 8 /Matte [0.2 0.3 0.4] /Filter /FlateDecode`,
        data: flate(GRAY),
      },
    }),
  ],
];

/** Dictionaries of streams stand in a file as they are. */
const imageWidths = (pdf: Uint8Array): number[] =>
  [
    ...Buffer.from(pdf)
      .toString('latin1')
      .matchAll(/\/Width (\d+)/g),
  ].map(([, width]) => Number(width));

describe('pictures in a reduced copy', () => {
  it.each(KINDS)('%s', async (_, pdf) => {
    const { whole, mean, apart, copy } = await likeness(pdf);
    expect(colorCount(whole)).toBeGreaterThan(2);
    expect(mean).toBeLessThan(1.1);
    expect(apart).toBeLessThan(0.01);
    expect(imageWidths(copy)).toContain(200);
    expect(imageWidths(copy)).not.toContain(WIDTH);
  });

  it('stay in sight where the cross-reference turns out broken on the way', async () => {
    const pdf = placed('/ColorSpace /DeviceRGB /BitsPerComponent 8 /SMask 21 0 R', rasterBytes(RGB), {
      21: {
        dict: `/Type /XObject /Subtype /Image /Width ${WIDTH} /Height ${HEIGHT} /ColorSpace /DeviceGray /BitsPerComponent 8`,
        data: rasterBytes(GRAY),
      },
    });
    const text = Buffer.from(pdf).toString('latin1');
    const offset = String(text.indexOf('21 0 obj')).padStart(10, '0');
    const broken = Buffer.from(text.replace(`${offset} 00000 n`, '0000000017 00000 n'), 'latin1');
    expect(broken.equals(pdf)).toBe(false);
    const { bytes } = await tryReduced(broken);
    expect(imageWidths(bytes)).toEqual([200, 200]);
    const [drawn, whole] = [await pdfiumPicture(bytes, { ppi: 24 }), await pdfiumPicture(pdf, { ppi: 24 })];
    expect(pictureDifference(drawn, whole).largest).toBeLessThan(8);
  });

  it('are as sharp as is said, and refused where that is not enough', async () => {
    const pdf = new Map(KINDS).get('in four inks')!;
    const { written, bytes } = await tryReduced(pdf);
    // The page is 300 points wide, the copy is made for a picture of 100 pixels and keeps two for each.
    expect(written).toEqual({ ok: true, value: { sharpPx: 200 } });
    const ppi = (200 * 72) / 300;
    const [drawn, whole] = [await pdfiumPicture(bytes, { ppi }), await pdfiumPicture(pdf, { ppi })];
    expect(drawn.width).toBe(200);
    expect(pictureDifference(drawn, whole).largest).toBeLessThan(8);
    expect((await tryReduced(pdf, { neededPx: 200 })).written.ok).toBe(true);
    expect(await tryReduced(pdf, { neededPx: 201 })).toMatchObject({
      written: { ok: false, problem: { code: 'reduced-too-coarse' } },
    });
    const kept = await tryReduced(pdf, { longestPx: 290, neededPx: 5000 });
    expect(kept.written).toEqual({ ok: true, value: { sharpPx: Number.POSITIVE_INFINITY } });
  });

  it('stay whole where they are packed in a way that has no rows, and where few pixels would go', async () => {
    const fax = placed(
      `/ColorSpace /DeviceGray /BitsPerComponent 1 /Filter /CCITTFaxDecode /DecodeParms << /K -1 /Columns ${WIDTH} /Rows ${HEIGHT} >>`,
      // ITU-T T.6: a line of 2 white pixels and 3 black ones, then lines like the one above, then the end.
      bytesFromBits(`0010111101${'111'.repeat(HEIGHT - 1)}${'000000000001'.repeat(2)}`),
    );
    const [raw, lzw] = ['without any packing', 'packed by LZW'].map((name) => new Map(KINDS).get(name)!);
    for (const [pdf, longestPx, leavesSlow] of [
      [fax, 100, false],
      [raw!, 290, false],
      [lzw!, 100, true],
    ] as const) {
      const { mean, copy } = await likeness(pdf, { longestPx, leavesSlow });
      expect(mean).toBe(0);
      expect(imageWidths(copy)).toEqual([WIDTH]);
    }
  });

  it('are read after all drawings were walked through, so that each can have its own limit of time', async () => {
    const works: string[] = [];
    const artwork = await artworkOf(KINDS[0]![1]);
    const pause = (work: string) => void works.push(work);
    await writeReducedPage(artwork, REQUEST, new MemoryOutput(), { flate: flateCodec(), pause });
    // All walking comes before any writing: a limit for the one must not meet the other.
    expect(works.lastIndexOf('content')).toBeLessThan(works.indexOf('pictures'));
    expect(works).toContain('pictures');
  });

  it('are told where what stays whole is too much, and where the data end early', async () => {
    const pdf = KINDS[0]![1];
    for (const limit of [{ maxBytes: 50_000 }, { maxContentBytes: 40 }]) {
      const { written } = await tryReduced(pdf, limit);
      expect(written).toMatchObject({ ok: false, problem: { code: 'reduced-too-large' } });
    }
    const cut = placed('/ColorSpace /DeviceRGB /BitsPerComponent 8', rasterBytes(RGB).subarray(0, 300_000));
    expect(await tryReduced(cut)).toMatchObject({
      written: { ok: false, problem: { code: 'image-corrupt' } },
    });
    const kept = await tryReduced(cut, { keepsDamaged: true });
    expect(kept.written.ok).toBe(true);
    const [shown, whole] = await Promise.all(
      [kept.bytes, pdf].map((bytes) => pdfiumPicture(bytes, { ppi: 24 })),
    );
    const upper = { x: 0, y: 0, width: 100, height: 26 };
    expect(
      pictureDifference(pictureCropped(shown!, upper), pictureCropped(whole!, upper)).largest,
    ).toBeLessThan(8);
    expect(pixelAt(shown!, 50, 60)).toEqual([255, 255, 255]);
    expect(await tryReduced(pdf, { page: 2 })).toMatchObject({
      written: { ok: false, problem: { code: 'pdf-page-missing' } },
    });
  });

  it('that do not show weigh nothing, and their data are never read', async () => {
    const hidden = (content: string): Uint8Array =>
      rawPdf({
        page: '/MediaBox [0 0 300 200]',
        content: `0.2 0.5 0.8 rg 20 30 90 70 re f ${content}`,
        resources: '/XObject << /Photo 20 0 R /Other 21 0 R >>',
        objects: {
          20: {
            dict: `/Type /XObject /Subtype /Image /Width ${WIDTH} /Height ${HEIGHT} /ColorSpace /DeviceRGB /BitsPerComponent 8 /Filter /FlateDecode`,
            data: 'no Flate at all'.repeat(5000),
          },
          21: '<< /Type /XObject /Subtype /Other >>',
        },
      });
    for (const content of [
      '',
      'q 300 0 0 200 400 0 cm /Photo Do Q',
      'q 9 9 4 4 re W n 300 0 0 200 50 50 cm /Photo Do Q',
    ]) {
      const { mean, copy } = await likeness(hidden(content));
      expect(mean).toBe(0);
      expect(imageWidths(copy)).toEqual([1]);
    }
  });
});

describeWithTools(['qpdf'], 'a reduced copy of an encrypted file', () => {
  it('looks like its page, and needs no password', async () => {
    const plain = new Map(KINDS).get('in four inks')!;
    const secret = withPdfFile(plain, (path) =>
      runTool('qpdf', ['--encrypt', 'bookmobile', 'library', '256', '--', path, '-']),
    );
    const { whole, mean, apart, copy } = await likeness(new Uint8Array(secret), { password: 'bookmobile' });
    expect(colorCount(whole)).toBeGreaterThan(20);
    expect(mean).toBeLessThan(1.1);
    expect(apart).toBe(0);
    expect(imageWidths(copy)).toEqual([200]);
  });
});

import { readFileSync } from 'node:fs';
import { PDFStream } from 'pdf-lib';
import { beforeAll, describe, expect, it } from 'vitest';
import { contentPageFrom } from '../../../core/pdf/content/content-page.ts';
import { pageImages } from '../../../core/pdf/content/page-images.ts';
import { sampleRows } from '../../../core/verify/structure/sample-rows.ts';
import { decodeJpeg2000 } from '../../../main/cut/jpeg2000.ts';
import { unpacked } from '../../../main/files/unpacked.ts';
import { jp2Encoded, jpeg2000Encoded, wavySamples } from '../../support/jpeg2000-encoded.ts';
import { opened, pixelCut } from '../../support/panel-check.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { withPdfFile } from '../../support/tool-renderers.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';

const [WIDTH, HEIGHT] = [620, 410];

/** The picture at a point for each pixel. */
const page = (data: Uint8Array, space: string, more = ''): Uint8Array =>
  rawPdf({
    page: `/MediaBox [0 0 ${WIDTH} ${HEIGHT}]`,
    resources: '/XObject << /Photo 20 0 R >>',
    content: `q ${WIDTH} 0 0 ${HEIGHT} 0 0 cm /Photo Do Q`,
    objects: {
      20: {
        dict: `/Type /XObject /Subtype /Image /Width ${WIDTH} /Height ${HEIGHT} /ColorSpace /${space} /Filter /JPXDecode ${more}`,
        data,
      },
    },
  });

const SAMPLES = wavySamples(WIDTH, HEIGHT, 3);
let lossless: Uint8Array;
let losslessFile: Uint8Array;
let lossy: Uint8Array;
beforeAll(async () => {
  const picture = { width: WIDTH, height: HEIGHT, channels: 3, samples: SAMPLES };
  lossless = await jpeg2000Encoded(picture);
  lossy = await jp2Encoded({ ...picture, ratio: 12 });
  losslessFile = await jp2Encoded(picture);
});

describe('JPEG 2000 is decoded', () => {
  it('to the samples that were coded without loss', async () => {
    expect(Buffer.compare(await decodeJpeg2000(lossless, 3), SAMPLES)).toBe(0);
  });

  it('not where the data are damaged', async () => {
    // Half of the data may give half of a picture; without a head there is none.
    await expect(decodeJpeg2000(lossless.subarray(0, 90), 3)).rejects.toThrow('cannot be decoded');
  });
});

describeWithTools(['pdfimages', 'mutool', 'gs'], 'IMG16 JPEG 2000 is decoded as others do', () => {
  it.each([
    ['without loss', () => losslessFile],
    ['with loss', () => lossy],
  ])('%s: to the samples of poppler, MuPDF and Ghostscript', async (_, coded) => {
    const ours = await decodeJpeg2000(coded(), 3);
    withPdfFile(page(coded(), 'DeviceRGB'), (path, folder) => {
      const pixels = (pnm: Buffer): Buffer => pnm.subarray(pnm.length - WIDTH * HEIGHT * 3);
      runTool('pdfimages', [path, `${folder}/poppler`]);
      expect(Buffer.compare(pixels(readFileSync(`${folder}/poppler-000.ppm`)), ours)).toBe(0);
      const drawn = runTool('mutool', ['draw', '-q', '-r', '72', '-F', 'ppm', '-o', '-', path, '1']);
      expect(Buffer.compare(pixels(drawn), ours)).toBe(0);
      const options = ['-q', '-dNOPAUSE', '-dBATCH', '-dSAFER', '-dUseFastColor=true', '-sDEVICE=ppmraw'];
      const printed = runTool('gs', [...options, '-r72', '-sOutputFile=-', path]);
      expect(Buffer.compare(pixels(printed), ours)).toBe(0);
    });
  });
});

describe('a part of a picture in JPEG 2000', () => {
  const WINDOW = { x: 201, y: 97, width: 150, height: 200 };

  /** The samples of the one picture of a panel, and what is said of it. */
  async function cropped(artwork: Uint8Array, window = WINDOW) {
    const { panel } = await pixelCut(artwork, { window });
    const { file, pages } = await opened(panel.bytes);
    const [placed] = await pageImages(await contentPageFrom(file, pages[0]!.page), 1);
    const { stream, width, height } = placed!.image;
    if (!(stream instanceof PDFStream)) throw new Error('The panel has no picture.');
    const filters = (await file.streamFilters(stream)).map(({ name }) => name);
    const rows = await sampleRows(file, stream, { inflate: unpacked, decodeJpeg2000 });
    const samples: Uint8Array[] = [];
    for await (const row of rows!.rows()) samples.push(row.slice());
    return { width, height, filters, notes: panel.notes, samples };
  }

  it('is carried as samples, each of which is that of the whole', async () => {
    const part = await cropped(page(lossless, 'DeviceRGB'));
    expect(part.filters).toEqual(['FlateDecode']);
    expect(part.notes).toEqual([
      'An image of 620 × 410 pixels in JPEG 2000 is decoded and cropped as samples, which is smaller.',
    ]);
    expect([part.width, part.height]).not.toContain(WIDTH);
    const whole = await decodeJpeg2000(lossless, 3);
    const rowAt = (x: number, y: number) =>
      whole.subarray((y * WIDTH + x) * 3, (y * WIDTH + x + part.width) * 3);
    const start = Buffer.from(whole).indexOf(Buffer.from(part.samples[0]!)) / 3;
    const [x, y] = [start % WIDTH, Math.floor(start / WIDTH)];
    expect(x).toBeLessThanOrEqual(WINDOW.x);
    expect(y).toBeLessThanOrEqual(WINDOW.y);
    expect(x + part.width).toBeGreaterThanOrEqual(WINDOW.x + WINDOW.width);
    expect(y + part.height).toBeGreaterThanOrEqual(WINDOW.y + WINDOW.height);
    expect(part.samples).toHaveLength(part.height);
    for (const [i, row] of part.samples.entries()) {
      expect(Buffer.compare(row, rowAt(x, y + i)), `row ${i}`).toBe(0);
    }
  });

  it('is carried whole where that is smaller, and the manifest says so', async () => {
    const part = await cropped(page(lossy, 'DeviceRGB'), { ...WINDOW, width: 300 });
    expect(part.filters).toEqual(['JPXDecode']);
    expect([part.width, part.height]).toEqual([WIDTH, HEIGHT]);
    expect(part.notes).toEqual([
      'An image of 620 × 410 pixels is carried whole. It is coded as JPEG 2000, and what the panel shows of it would be larger without that coding.',
    ]);
  });

  it.each([
    ['its samples are turned into others', 'DeviceRGB', '/Decode [1 0 1 0 1 0]'],
    ['opacity may lie among them', 'DeviceRGB', '/SMaskInData 1'],
    ['its colors are other than its dictionary says', 'DeviceCMYK', ''],
  ])('is carried whole where %s', async (_, space, more) => {
    const { panel } = await pixelCut(page(lossless, space, more), { window: WINDOW });
    expect(panel.notes).toEqual([
      'An image of 620 × 410 pixels is carried whole. The image is coded as JPEG 2000 in a way that cannot be cut.',
    ]);
  });
});

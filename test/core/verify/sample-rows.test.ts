import { deflateSync } from 'node:zlib';
import { PDFStream } from 'pdf-lib';
import { describe, expect, it } from 'vitest';
import { contentPageFrom } from '../../../core/pdf/content/content-page.ts';
import { pageImages } from '../../../core/pdf/content/page-images.ts';
import { sampleRows } from '../../../core/verify/structure/sample-rows.ts';
import { unpacked } from '../../../main/files/unpacked.ts';
import { fileFrom, pdfPage } from '../pdf/file/file-support.ts';
import { pdfMade } from '../pdf/images/pdf-made.ts';
import { pngCoded, rasterBytes, rasterMade, tiffCoded } from '../pdf/images/raster-made.ts';

const SPACES = ['DeviceGray', undefined, 'DeviceRGB', 'DeviceCMYK'];

/** The samples as the verification reads them. */
async function samplesRead(width: number, height: number, components: number, predictor: number) {
  const raster = rasterMade({ width, height, components, bits: 8 }, width + components);
  const coded = predictor === 2 ? tiffCoded(raster) : pngCoded(raster, width);
  const parms = `/DecodeParms << /Predictor ${predictor} /Colors ${components} /Columns ${width} >>`;
  const entries = `/Width ${width} /Height ${height} /BitsPerComponent 8 /ColorSpace /${SPACES[components - 1]} /Filter /FlateDecode ${parms}`;
  const pdf = pdfMade(100, 100, '/Image Do', { entries, data: deflateSync(coded) });
  const file = await fileFrom(pdf);
  const [placed] = await pageImages(await contentPageFrom(file, await pdfPage(file, 0)), 1);
  const { stream } = placed!.image;
  if (!(stream instanceof PDFStream)) throw new Error('The page has no picture.');
  const rows = await sampleRows(file, stream, {
    inflate: unpacked,
    decodeJpeg2000: () => Promise.reject(new Error('there is none')),
  });
  const read: Uint8Array[] = [];
  for await (const row of rows!.rows()) read.push(row.slice());
  return { read: Buffer.concat(read), whole: Buffer.from(rasterBytes(raster)) };
}

describe('samples as the verification reads them', () => {
  it.each([
    [41, 1],
    [64, 1],
    [31, 3],
    [29, 4],
  ])('%i pixels of %i components come out as they were coded', async (width, components) => {
    for (const predictor of [2, 15]) {
      const { read, whole } = await samplesRead(width, 60, components, predictor);
      expect(read.equals(whole)).toBe(true);
    }
  });
});

import { deflateSync } from 'node:zlib';
import { decodePDFRawStream, PDFDict, PDFDocument, PDFName, PDFRawStream } from 'pdf-lib';
import { describe, expect, it } from 'vitest';
import { cutPanels } from '../../../core/cut/cut.ts';
import type { PanelCut } from '../../../core/cut/cut-request.ts';
import { artworkFromSource } from '../../../core/pdf/document/artwork.ts';
import { MemoryOutput } from '../../../core/pdf/write/memory-output.ts';
import { pdfCodecs } from '../../../main/files/pdf-source.ts';
import { opened, pixelCut, resultValue, TOOLS } from '../../support/panel-check.ts';
import { panelPdf } from '../../support/panel-pdf.ts';
import { EXACT_PAGES } from '../../support/picture-pages.ts';
import { checkWithQpdf, type QpdfDict, qpdfArt, qpdfDocument } from '../../support/qpdf-json.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { describeWithTools } from '../../support/tools.ts';
import { random } from '../pdf/images/jpeg-made.ts';

const CROPPING = { ...TOOLS, cropGain: { bytes: 0, share: 0 } };
const MEDIA = '/MediaBox [0 0 210 130]';

/** A file in memory that notes every rewind. */
class ArchivedOutput extends MemoryOutput {
  rewinds = 0;

  override rewind(length: number): void {
    super.rewind(length);
    this.rewinds += 1;
  }
}

function noise(length: number, seed: number): Uint8Array {
  const next = random(seed);
  return Uint8Array.from({ length }, () => Math.floor(next() * 256));
}

/** The content of the art's form, by pdf-lib, which reads on where a picture is damaged. */
async function artContent(bytes: Uint8Array): Promise<string> {
  const page = (await PDFDocument.load(bytes)).getPage(0);
  const art = page.node.Resources()?.lookup(PDFName.XObject, PDFDict).lookup(PDFName.of('Art'));
  if (!(art instanceof PDFRawStream)) throw new Error('The panel has no art.');
  return Buffer.from(decodePDFRawStream(art).decode()).toString('latin1').trim();
}

const rgbImage = (width: number, height: number, data: Uint8Array) => ({
  dict: `/Type /XObject /Subtype /Image /Width ${width} /Height ${height} /ColorSpace /DeviceRGB /BitsPerComponent 8 /Filter /FlateDecode`,
  data,
});

describeWithTools(['qpdf'], 'CUT11 a panel carries what shows in its window', () => {
  const pdf = rawPdf({
    page: MEDIA,
    resources:
      '/XObject << /Near 20 0 R /Far 21 0 R /Both 22 0 R >> /Font << /F 23 0 R >> /Shading << /S 24 0 R >> /ColorSpace << /Spot [/Separation /Signal#20Red /DeviceCMYK 25 0 R] >>',
    content:
      'q 1 0 0 rg 5 5 20 20 re f Q /Near Do q 1 0 0 1 120 0 cm /Far Do Q /Both Do q 150 80 40 40 re W n /S sh Q BT /F 12 Tf 160 20 Td (Outreach) Tj ET q /Spot cs 1 scn 180 100 20 20 re f Q',
    objects: {
      20: { dict: '/Type /XObject /Subtype /Form /BBox [0 0 60 60]', data: '0 1 0 rg 10 40 20 15 re f' },
      21: { dict: '/Type /XObject /Subtype /Form /BBox [0 0 60 60]', data: '0 0 1 rg 10 40 20 15 re f' },
      22: {
        dict: '/Type /XObject /Subtype /Form /BBox [0 0 210 130] /Resources << /XObject << /L 20 0 R /R 21 0 R >> >>',
        data: 'q 1 0 0 1 0 60 cm /L Do Q q 1 0 0 1 140 60 cm /R Do Q',
      },
      23: '<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>',
      24: '<< /ShadingType 2 /ColorSpace /DeviceRGB /Coords [150 0 190 0] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [1 0 0] /C1 [0 0 1] >> >>',
      25: '<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 1 0] >>',
    },
  });

  it('objects outside go, and forms, fonts, shadings and inks that only they used', async () => {
    const left = await pixelCut(pdf, { window: { x: 0, y: 0, width: 70, height: 130 } });
    const right = await pixelCut(pdf, { window: { x: 140, y: 0, width: 70, height: 130 } });
    checkWithQpdf(left.panel.bytes);
    checkWithQpdf(right.panel.bytes);
    const names = (bytes: Uint8Array) => {
      const file = qpdfDocument(bytes);
      const resources = file.dict(qpdfArt(file).dict['/Resources']);
      const keys = (value: QpdfDict[string] | undefined) =>
        value === undefined ? [] : Object.keys(file.dict(value)).sort();
      const both = file.dict(file.dict(resources['/XObject'])['/Both']);
      return {
        XObject: keys(resources['/XObject']),
        Font: keys(resources['/Font']),
        Shading: keys(resources['/Shading']),
        ColorSpace: keys(resources['/ColorSpace']),
        inBoth: keys(file.dict(both['/Resources'])['/XObject']),
      };
    };
    expect(names(left.panel.bytes)).toEqual({
      XObject: ['/Both', '/Near'],
      Font: [],
      Shading: [],
      ColorSpace: [],
      inBoth: ['/L'],
    });
    expect(names(right.panel.bytes)).toEqual({
      XObject: ['/Both', '/Far'],
      Font: ['/F'],
      Shading: ['/S'],
      ColorSpace: ['/Spot'],
      inBoth: ['/R'],
    });
  });

  it('the samples of a crop and of its mask are those of the source, and no more than the window needs', async () => {
    const { pdf: page } = EXACT_PAGES.find(({ name }) => name === 'with a soft mask of half the size')!;
    const samplesOf = (bytes: Uint8Array) => {
      const file = qpdfDocument(bytes);
      const photo = file.dict(file.dict(qpdfArt(file).dict['/Resources'])['/XObject'])['/Photo']!;
      const mask = file.dict(photo)['/SMask']!;
      return [photo, mask].map((ref) => ({
        width: Number(file.dict(ref)['/Width']),
        height: Number(file.dict(ref)['/Height']),
        data: file.data(ref),
      }));
    };
    const { cut } = await pixelCut(page, { window: { x: 94, y: 46, width: 122, height: 88 } });
    const artwork = await opened(page);
    const all = samplesOf(
      resultValue(await panelPdf(artwork, cut, { ...TOOLS, carries: 'everything' })).bytes,
    );
    const cropped = samplesOf(resultValue(await panelPdf(artwork, cut, CROPPING)).bytes);
    for (const [i, { width, height, data }] of cropped.entries()) {
      const whole = all[i]!;
      const bytes = whole.data.length / (whole.width * whole.height);
      const x = ((i === 0 ? 178 : 89) * whole.width) / (i === 0 ? 600 : 300);
      const y = ((i === 0 ? 82 : 41) * whole.height) / (i === 0 ? 400 : 200);
      const expected = Array.from({ length: height }, (_, row) => {
        const from = ((y + row) * whole.width + x) * bytes;
        return whole.data.subarray(from, from + width * bytes);
      });
      expect(Buffer.concat(expected).equals(data)).toBe(true);
      // The window is 122 × 88 points; slack on each side: 2 points and 3 pixels of the coarser picture.
      expect(width).toBeLessThanOrEqual(((122 + 2 * 2 + 2 * 3) * whole.width) / 300);
      expect(height).toBeLessThanOrEqual(((88 + 2 * 2 + 2 * 3) * whole.height) / 200);
    }
  });
});

describe('CUT13 pictures that cannot be cropped are carried whole', () => {
  const window = { x: 0, y: 0, width: 70, height: 130 };

  it('CUT13 by their coding, with a sentence for the manifest', async () => {
    const pdf = rawPdf({
      page: MEDIA,
      resources: '/XObject << /Photo 20 0 R >>',
      content: 'q 210 0 0 130 0 0 cm /Photo Do Q',
      objects: {
        20: {
          dict: '/Type /XObject /Subtype /Image /Width 500 /Height 300 /ColorSpace /DeviceRGB /BitsPerComponent 8 /Filter /JPXDecode',
          data: noise(90_000, 1),
        },
      },
    });
    const { panel } = await pixelCut(pdf, { window });
    expect(panel.notes).toEqual([
      'An image of 500 × 300 pixels is carried whole. The image is coded as JPEG 2000 in a way that cannot be cut.',
    ]);
    expect(Buffer.from(panel.bytes).includes(Buffer.from(noise(90_000, 1)))).toBe(true);
  });

  it('CUT13 damage met on the way takes back what was written, in every panel', async () => {
    const data = deflateSync(noise(400 * 300 * 3, 2));
    const damaged = data.subarray(0, Math.floor(data.length * 0.8));
    const pdf = rawPdf({
      page: MEDIA,
      resources: '/XObject << /Sound 20 0 R /Photo 21 0 R >>',
      content: 'q 210 0 0 60 0 70 cm /Sound Do Q q 210 0 0 130 0 0 cm /Photo Do Q',
      objects: {
        20: rgbImage(400, 200, deflateSync(noise(400 * 200 * 3, 3))),
        21: rgbImage(400, 300, damaged),
      },
    });
    const artwork = await opened(pdf);
    const cuts = await Promise.all(
      [window, { ...window, x: 100 }].map(async (at) => (await pixelCut(pdf, { window: at })).cut),
    );
    const outputs = [new ArchivedOutput(), new ArchivedOutput()];
    const panels = resultValue(await cutPanels(artwork, cuts, outputs, TOOLS));
    for (const [i, output] of outputs.entries()) {
      const bytes = Buffer.from(output.bytes());
      expect(output.rewinds).toBe(1);
      expect(panels[i]!.notes).toHaveLength(1);
      expect(panels[i]!.notes[0]).toMatch(
        /^An image of 400 × 300 pixels is carried whole\. .*end after row \d+/,
      );
      expect(bytes.includes(Buffer.from(damaged))).toBe(true);
      // The sound picture is cropped; the damaged one has no matrix in front of it any more.
      const widths = [...bytes.toString('latin1').matchAll(/\/Width (\d+)/g)].map(([, width]) =>
        Number(width),
      );
      expect(widths.sort((a, b) => a - b)).toEqual([expect.any(Number), 400]);
      expect(widths[0]).toBeLessThan(250);
      expect(await artContent(bytes)).toMatch(
        /q [\d. ]+ cm \/Sound Do Q Q q 210 0 0 130 0 0 cm \/Photo Do Q$/,
      );
    }
  });
});

describe('panels that are cut together', () => {
  it('have the bytes that they have alone', async () => {
    for (const { pdf } of EXACT_PAGES.slice(0, 4)) {
      const artwork = await opened(pdf);
      const cuts: PanelCut[] = [];
      for (const x of [0, 61, 130]) {
        cuts.push((await pixelCut(pdf, { window: { x, y: 20, width: 97, height: 151 } })).cut);
      }
      const outputs = cuts.map(() => new MemoryOutput());
      resultValue(await cutPanels(artwork, cuts, outputs, CROPPING));
      for (const [i, cut] of cuts.entries()) {
        const alone = resultValue(await panelPdf(await opened(pdf), cut, CROPPING));
        expect(Buffer.from(outputs[i]!.bytes()).equals(alone.bytes)).toBe(true);
      }
    }
  });
});

describe('the artwork is read where it lies', () => {
  it('opening reads no picture, cutting reads each once for all panels, a megabyte at a time', async () => {
    const data = deflateSync(noise(1600 * 1200 * 3, 5), { level: 1 });
    const pdf = rawPdf({
      page: MEDIA,
      resources: '/XObject << /Photo 20 0 R >>',
      content: 'q 210 0 0 130 0 0 cm /Photo Do Q',
      objects: { 20: rgbImage(1600, 1200, data) },
    });
    let read = 0;
    let largest = 0;
    const source = {
      size: pdf.length,
      read: async (offset: number, length: number) => {
        const bytes = pdf.subarray(offset, offset + length);
        read += bytes.length;
        largest = Math.max(largest, bytes.length);
        return bytes;
      },
    };
    const artwork = resultValue(await artworkFromSource(source, { codecs: pdfCodecs }));
    expect(read).toBeLessThan(0.1 * pdf.length);
    const cuts: PanelCut[] = [];
    for (const x of [0, 40, 80, 120, 160]) {
      cuts.push((await pixelCut(pdf, { window: { x, y: 0, width: 50, height: 130 } })).cut);
    }
    read = 0;
    const outputs = cuts.map(() => new MemoryOutput());
    const seen: number[] = [];
    const onBytes = (done: number, total: number): void => {
      expect(total).toBeGreaterThanOrEqual(data.length);
      expect(done).toBeLessThanOrEqual(total);
      seen.push(done);
    };
    resultValue(await cutPanels(artwork, cuts, outputs, { ...TOOLS, onBytes }));
    expect(read).toBeLessThan(1.05 * pdf.length);
    expect(largest).toBeLessThanOrEqual(1 << 20);
    const out = outputs.reduce((sum, output) => sum + output.bytes().length, 0);
    // Five windows of 50 points on a page of 210. The slack is a larger share of windows this narrow than of panels.
    expect(out).toBeLessThan(((1.15 * 250) / 210) * pdf.length);
    // Progress counts bytes, forwards.
    expect(seen.length).toBeGreaterThan(20);
    expect(seen).toEqual([...seen].sort((a, b) => a - b));
  });
});

import { PDFDict, PDFName, PDFRawStream, PDFStream } from 'pdf-lib';
import { describe, expect, it } from 'vitest';
import type { Artwork } from '../../../core/pdf/artwork.ts';
import { type PanelTools, panelPdf } from '../../../core/pdf/cut.ts';
import type { Replacement } from '../../../core/pdf/object-copier.ts';
import { opened, pixelCut, renderedPair, resultValue, TOOLS } from '../../support/panel-check.ts';
import { pictureDifference } from '../../support/picture.ts';
import { rawPdf } from '../../support/raw-pdf.ts';

const COLUMNS = 40;
const ROWS = 20;
/** Rows of the image that the window shows: the lower half of the page. */
const KEPT_ROWS = 12;

const samples = (from: number, rows: number): Uint8Array =>
  Uint8Array.from({ length: COLUMNS * rows * 3 }, (_, at) => ((at + from * COLUMNS * 3) * 37 + 5) % 241);

const PDF = rawPdf({
  page: '/MediaBox [0 0 160 80]',
  resources: '/XObject << /Photo 20 0 R /Badge 21 0 R >>',
  content: 'q 160 0 0 80 0 0 cm /Photo Do Q q /Badge Do Q 0 0 1 rg 10 4 30 20 re f',
  objects: {
    20: {
      dict: `/Type /XObject /Subtype /Image /Width ${COLUMNS} /Height ${ROWS} /ColorSpace /DeviceRGB /BitsPerComponent 8`,
      data: samples(0, ROWS),
    },
    21: { dict: '/Type /XObject /Subtype /Form /BBox [0 60 160 80]', data: '1 0 0 rg 0 60 160 20 re f' },
  },
});

/** The image's lower rows alone, painted where they were by a form over the same unit square. */
function croppedImage(artwork: Artwork): Replacement {
  return (_ref, object) => {
    if (!(object instanceof PDFStream)) return undefined;
    if (object.dict.get(PDFName.of('Subtype')) !== PDFName.of('Image')) return undefined;
    const { context } = artwork.file;
    const dict = object.dict.clone();
    dict.set(PDFName.of('Height'), context.obj(KEPT_ROWS));
    const crop = PDFRawStream.of(dict, samples(ROWS - KEPT_ROWS, KEPT_ROWS));
    const forms = PDFDict.withContext(context);
    forms.set(PDFName.of('Crop'), crop);
    const form = context.obj({ Type: 'XObject', Subtype: 'Form', BBox: [0, 0, 1, 1] });
    form.set(PDFName.Resources, context.obj({ XObject: forms }));
    const content = `q 1 0 0 ${KEPT_ROWS / ROWS} 0 0 cm /Crop Do Q`;
    return PDFRawStream.of(form, new TextEncoder().encode(content));
  };
}

describe('CUT6 smaller stand-ins for what a window shows only in part', () => {
  it('CUT6 a cropped image and shortened content look the same and weigh less', async () => {
    const window = { x: 0, y: 40, width: 160, height: 40 };
    const plain = await pixelCut(PDF, { window });
    const artwork = await opened(PDF);
    const content = new TextEncoder().encode('q 160 0 0 80 0 0 cm /Photo Do Q 0 0 1 rg 10 4 30 20 re f');
    const tools: PanelTools = { ...TOOLS, content, replacement: croppedImage(artwork) };
    const panel = resultValue(await panelPdf(artwork, plain.cut, tools));
    const { source, printed } = await renderedPair(PDF, { ...plain, panel });
    expect(pictureDifference(source, printed, { edge: 1 }).largest).toBeLessThanOrEqual(1);
    const saved = COLUMNS * (ROWS - KEPT_ROWS) * 3;
    expect(plain.panel.bytes.length - panel.bytes.length).toBeGreaterThan(saved - 400);
    const text = Buffer.from(panel.bytes).toString('latin1');
    expect(text).toContain(`/Height ${KEPT_ROWS}`);
    expect(text).not.toContain('0 60 160 20 re f');
  });
});

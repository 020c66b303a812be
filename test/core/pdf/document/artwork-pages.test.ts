import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PageBox } from '../../../../core/measure/page-box.ts';
import { type ArtworkPage, artworkPage, artworkPages } from '../../../../core/pdf/document/artwork.ts';
import { matrixPoint, type PageRotation, PageSpace } from '../../../../core/pdf/page/page-space.ts';
import { opened, resultValue } from '../../../support/panel-check.ts';
import { pdfFromObjects, type RawPage, rawPdf } from '../../../support/raw-pdf.ts';

const MM = 25.4 / 72;

async function pageOf(given: RawPage, box: PageBox = 'crop'): Promise<ArtworkPage> {
  return resultValue(artworkPage(await opened(rawPdf(given)), 1, box));
}

/** Left, top, width and height in units of the page, for comparing with the numbers in the file. */
const units = (page: ArtworkPage, box: PageBox): number[] => {
  const { x, y, width, height } = page.boxes[box];
  return [x, y, width, height].map((mm) => Number((mm / MM / page.userUnit).toFixed(6)));
};

describe('boxes after ISO 32000-1, 14.11.2', () => {
  it('CropBox defaults to the MediaBox, the others to the CropBox', async () => {
    const page = await pageOf({ page: '/MediaBox [0 0 300 200] /CropBox [20 10 270 190]' });
    expect(units(page, 'media')).toEqual([-20, -10, 300, 200]);
    for (const box of ['crop', 'bleed', 'trim', 'art'] as const) {
      expect(units(page, box)).toEqual([0, 0, 250, 180]);
    }
  });

  it('a box that reaches beyond the MediaBox is cut to it', async () => {
    const page = await pageOf({
      page: '/MediaBox [10 20 310 220] /CropBox [-5 -5 400 200] /BleedBox [0 0 100 500] /TrimBox [30 40 90 80]',
    });
    expect(units(page, 'crop')).toEqual([0, 0, 300, 180]);
    expect(units(page, 'bleed')).toEqual([0, -20, 90, 200]);
    expect(units(page, 'trim')).toEqual([20, 120, 60, 40]);
  });

  it('corners come in any order and the origin anywhere (7.9.5)', async () => {
    const page = await pageOf({ page: '/MediaBox [170 105 -40 -25] /TrimBox [150 -10 -20 90]' });
    expect(units(page, 'media')).toEqual([0, 0, 210, 130]);
    expect(units(page, 'trim')).toEqual([20, 15, 170, 100]);
  });

  it('a box wholly outside the MediaBox is ignored and reported', async () => {
    const page = await pageOf({
      page: '/MediaBox [0 0 300 200] /CropBox [400 0 500 100] /ArtBox [(x) 1 2 3]',
    });
    expect(units(page, 'crop')).toEqual([0, 0, 300, 200]);
    expect(page.facts.ignoredBoxes).toEqual(['crop', 'art']);
  });

  it('a page without a MediaBox is taken as Letter and reported', async () => {
    const page = await pageOf({ content: '' });
    expect(units(page, 'media')).toEqual([0, 0, 612, 792]);
    expect(page.facts.isMediaBoxMissing).toBe(true);
  });

  it('drawn space begins at the chosen box, and more than it may be visible', async () => {
    const page = await pageOf(
      { page: '/MediaBox [0 0 300 200] /CropBox [10 5 290 195] /TrimBox [40 30 250 180]' },
      'trim',
    );
    expect(units(page, 'trim')).toEqual([0, 0, 210, 150]);
    expect(page.widthMm).toBeCloseTo(210 * MM, 9);
    expect(page.visible.x).toBeCloseTo(-30 * MM, 9);
    expect(page.visible.y).toBeCloseTo(-15 * MM, 9);
    expect(page.visible.width).toBeCloseTo(280 * MM, 9);
  });
});

describe('inheritance after ISO 32000-1, Tables 29 and 30', () => {
  const INHERITED = '/MediaBox [0 0 300 200] /CropBox [10 20 290 180] /Rotate 90';

  it('MediaBox, CropBox and Rotate come from the page tree', async () => {
    const page = await pageOf({ pages: INHERITED });
    expect(page.rotation).toBe(90);
    expect(page.widthMm).toBeCloseTo(160 * MM, 9);
    expect(page.heightMm).toBeCloseTo(280 * MM, 9);
  });

  it("a page's own entry wins", async () => {
    const page = await pageOf({ pages: INHERITED, page: '/Rotate 0 /CropBox [0 0 300 200]' });
    expect([page.widthMm, page.heightMm]).toEqual([expect.closeTo(300 * MM, 9), expect.closeTo(200 * MM, 9)]);
  });

  it('BleedBox, TrimBox, ArtBox and UserUnit are not inherited', async () => {
    const page = await pageOf({
      pages: `${INHERITED} /TrimBox [50 60 70 80] /BleedBox [50 60 70 80] /ArtBox [50 60 70 80] /UserUnit 3`,
    });
    expect(page.userUnit).toBe(1);
    for (const box of ['bleed', 'trim', 'art'] as const) expect(page.boxes[box]).toEqual(page.boxes.crop);
  });

  it('entries come through several levels, each page with its own', async () => {
    const pdf = pdfFromObjects({
      1: '<< /Type /Catalog /Pages 2 0 R >>',
      2: '<< /Type /Pages /Kids [3 0 R 6 0 R] /Count 3 /MediaBox [0 0 100 70] /Rotate 180 >>',
      3: '<< /Type /Pages /Parent 2 0 R /Kids [4 0 R 5 0 R] /Count 2 /MediaBox 7 0 R >>',
      4: '<< /Type /Page /Parent 3 0 R >>',
      5: '<< /Type /Page /Parent 3 0 R /Rotate 270 >>',
      6: '<< /Type /Page /Parent 2 0 R >>',
      7: '[0 0 220 8 0 R]',
      8: '130',
    });
    const pages = artworkPages(await opened(pdf)).map(resultValue);
    expect(pages.map(({ number, rotation }) => [number, rotation])).toEqual([
      [1, 180],
      [2, 270],
      [3, 180],
    ]);
    expect(pages.map(({ widthMm }) => Math.round(widthMm / MM))).toEqual([220, 130, 100]);
  });
});

describe('drawn space', () => {
  it('Rotate is clockwise and brought into 0 to 270', async () => {
    for (const [written, turn] of [
      ['90', 90],
      ['-90', 270],
      ['450', 90],
      ['-180', 180],
      ['720', 0],
      ['45', 0],
      ['(x)', 0],
    ] as const) {
      const page = await pageOf({ page: `/MediaBox [0 0 300 200] /Rotate ${written}` });
      expect(page.rotation).toBe(turn);
    }
  });

  it('UserUnit counts in 1/72 in: 200 × 100 units of 2 are 400/72 × 200/72 in (Table 30)', async () => {
    const page = await pageOf({ page: '/MediaBox [0 0 200 100] /UserUnit 2' });
    expect(page.widthMm).toBeCloseTo((400 / 72) * 25.4, 9);
    expect(page.heightMm).toBeCloseTo((200 / 72) * 25.4, 9);
  });

  it('the corner that is shown top left is the origin', () => {
    // Turned clockwise by 90, the lower left corner of the page comes to the top left.
    const corners: Record<PageRotation, [number, number]> = {
      0: [10, 90],
      90: [10, 20],
      180: [60, 20],
      270: [60, 90],
    };
    for (const [turn, [x, y]] of Object.entries(corners)) {
      const space = new PageSpace({ x0: 10, y0: 20, x1: 60, y1: 90 }, Number(turn) as PageRotation, 1);
      const [left, top] = matrixPoint(space.toDrawn, x, y);
      expect(left).toBeCloseTo(0, 9);
      expect(top).toBeCloseTo(0, 9);
    }
  });

  it('from the page to drawn space and back is the same box', () => {
    const length = fc.double({ min: -5000, max: 5000, noNaN: true });
    const size = fc.double({ min: 0.5, max: 14_400, noNaN: true });
    fc.assert(
      fc.property(
        fc.tuple(length, length, size, size),
        fc.constantFrom<PageRotation>(0, 90, 180, 270),
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        fc.tuple(length, length, size, size),
        ([x0, y0, w, h], rotation, userUnit, [bx, by, bw, bh]) => {
          const space = new PageSpace({ x0, y0, x1: x0 + w, y1: y0 + h }, rotation, userUnit);
          const box = { x0: bx, y0: by, x1: bx + bw, y1: by + bh };
          const back = space.boxFromRect(space.rectFromBox(box));
          for (const key of ['x0', 'y0', 'x1', 'y1'] as const) expect(back[key]).toBeCloseTo(box[key], 6);
        },
      ),
    );
  });
});

describe('facts about a page', () => {
  it('says what a check needs to know', async () => {
    const page = await pageOf({
      page: '/MediaBox [0 0 300 200] /Annots [20 0 R 21 0 R]',
      catalog: '/OCProperties << /OCGs [] /D << >> >> /OutputIntents [22 0 R]',
      content: 'q 1 0 0 1 3 4 cm',
      objects: {
        20: '<< /Type /Annot /Subtype /Text /Rect [0 0 1 1] >>',
        21: '<< /Type /Annot /Subtype /Link /Rect [0 0 1 1] >>',
        22: '<< /Type /OutputIntent /S /GTS_PDFX /OutputConditionIdentifier (FOGRA39) >>',
        23: '<< /GTS_PDFXVersion (PDF/X-1a:2003) >>',
      },
      trailer: '/Info 23 0 R',
    });
    expect(page.facts).toEqual({
      annotations: 2,
      pdfxClaim: 'PDF/X-1a:2003',
      isEncrypted: false,
      isRepaired: false,
      isUnbalanced: true,
      isCutOff: false,
      isBlank: false,
      isMediaBoxMissing: false,
      ignoredBoxes: [],
    });
  });

  it('finds a PDF/X-4 claim in the metadata (ISO 15930-7)', async () => {
    const xmp =
      '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:Description><pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion></rdf:Description></x:xmpmeta>';
    const page = await pageOf({
      page: '/MediaBox [0 0 300 200]',
      catalog: '/Metadata 20 0 R',
      objects: { 20: { dict: '/Type /Metadata /Subtype /XML', data: xmp } },
    });
    expect(page.facts.pdfxClaim).toBe('PDF/X-4');
    expect(page.facts.isBlank).toBe(true);
  });
});

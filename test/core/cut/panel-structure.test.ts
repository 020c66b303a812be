import { expect, it } from 'vitest';
import { pixelCut } from '../../support/panel-check.ts';
import { checkWithQpdf, type QpdfDict, qpdfArt, qpdfDocument, qpdfPanel } from '../../support/qpdf-json.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { describeWithTools } from '../../support/tools.ts';
import { TRAP_PAGES } from '../../support/trap-pages.ts';

const MEDIA = '/MediaBox [0 0 210 130]';
const trap = (name: string): Uint8Array => TRAP_PAGES.find((page) => page.name === name)!.pdf;

const rounded = (value: unknown): number[] => (value as number[]).map((number) => Number(number.toFixed(4)));

describeWithTools(['qpdf'], 'CUT3 panels are clean PDF with the right boxes, by qpdf', () => {
  for (const { name, pdf, windows } of TRAP_PAGES) {
    it(`CUT3 qpdf finds no fault: ${name}`, async () => {
      const { panel } = await pixelCut(pdf, { window: windows.at(-1)! });
      checkWithQpdf(panel.bytes);
    });
  }

  it('CUT3 MediaBox is the film, BleedBox the printed area, TrimBox the net (14.11.2)', async () => {
    const { panel } = await pixelCut(trap('patterns and shadings'), {
      window: { x: 31, y: 17, width: 97, height: 71 },
      scale: 10,
      size: { kind: 'reduction', factor: 5 },
    });
    const { page } = qpdfPanel(qpdfDocument(panel.bytes));
    // Pixels of 1/72 drawn inch, enlarged by 10 and reduced by 5: two units each. Borders 7, 5, 3, 11 pixels.
    expect(rounded(page['/MediaBox'])).toEqual([0, 0, 2 * (7 + 97 + 3), 2 * (5 + 71 + 11)]);
    expect(rounded(page['/BleedBox'])).toEqual([14, 22, 14 + 194, 22 + 142]);
    expect(rounded(page['/TrimBox'])).toEqual([18, 24, 14 + 194 - 8, 22 + 142 - 6]);
    expect(page['/CropBox']).toBeUndefined();
    expect(page['/ArtBox']).toBeUndefined();
    expect(page['/Rotate']).toBeUndefined();
  });

  it('CUT3 the art is a form without a Group, and the Group is on the page (11.6.6)', async () => {
    const { panel } = await pixelCut(trap('blend mode Difference in a CMYK page group'));
    const file = qpdfDocument(panel.bytes);
    expect(qpdfArt(file).dict['/Group']).toBeUndefined();
    expect(file.expanded(qpdfPanel(file).page['/Group'])).toEqual({
      '/Type': '/Group',
      '/S': '/Transparency',
      '/CS': '/DeviceCMYK',
    });
  });

  it('CUT3 a page without a Group gets none', async () => {
    const { panel } = await pixelCut(trap('a knockout group and blending without a page group'));
    const file = qpdfDocument(panel.bytes);
    expect(qpdfPanel(file).page['/Group']).toBeUndefined();
  });

  it('CUT3 the form matrix of a turned page, to the digit (8.10.1; Table 30, Rotate)', async () => {
    const cases = {
      '': [1, 0, 0, 1, -31 + 7, -(130 - 88) + 11],
      '/Rotate 90': [0, -1, 1, 0, -31 + 7, 210 - (210 - 88) + 11],
      '/Rotate 180': [-1, 0, 0, -1, 210 - 31 + 7, 130 - (130 - 88) + 11],
      '/Rotate 270': [0, 1, -1, 0, 130 - 31 + 7, -(210 - 88) + 11],
    };
    for (const [rotate, matrix] of Object.entries(cases)) {
      const pdf = rawPdf({ page: `${MEDIA} ${rotate}`, content: '0 0 9 9 re f' });
      const { panel } = await pixelCut(pdf, { window: { x: 31, y: 17, width: 59, height: 71 } });
      expect(qpdfArt(qpdfDocument(panel.bytes)).dict['/Matrix']).toEqual(matrix);
    }
  });
});

describeWithTools(['qpdf'], 'CUT6 a panel carries only what it may print', () => {
  it('resources that the content never names are left out, named and borrowed ones kept', async () => {
    const pdf = rawPdf({
      page: MEDIA,
      resources:
        '/XObject << /Used 20 0 R /Spare 21 0 R /Borrower 22 0 R >> /ExtGState << /G#31 << /ca 0.5 >> /G2 << /ca 0.6 >> /G3 << /ca 0.7 >> >> /ColorSpace << /DefaultRGB [/CalRGB << /WhitePoint [0.9505 1 1.089] >>] /Other /DeviceGray >> /ProcSet [/PDF]',
      content: '/G1 gs /Used Do /Borrower Do (/G2 gs /Spare Do) Tj',
      objects: {
        20: {
          dict: '/Type /XObject /Subtype /Form /BBox [0 0 50 50] /Resources << /ExtGState << /In << /ca 1 >> /Out << /ca 0 >> >> /XObject << /Never 21 0 R >> >>',
          data: '/In gs 0 0 30 30 re f',
        },
        21: { dict: '/Type /XObject /Subtype /Form /BBox [0 0 1 1]', data: 'SPARE '.repeat(1000) },
        22: { dict: '/Type /XObject /Subtype /Form /BBox [0 0 50 50]', data: '/G3 gs 0 0 20 20 re f' },
      },
    });
    const { panel } = await pixelCut(pdf);
    const file = qpdfDocument(panel.bytes);
    const resources = file.dict(qpdfArt(file).dict['/Resources']);
    const names = (category: string, of: QpdfDict = resources): string[] =>
      Object.keys(file.dict(of[category])).sort();
    expect(names('/XObject')).toEqual(['/Borrower', '/Used']);
    expect(names('/ExtGState')).toEqual(['/G1', '/G3']);
    expect(names('/ColorSpace')).toEqual(['/DefaultRGB']);
    const forms = file.dict(resources['/XObject']);
    expect(file.dict(forms['/Borrower'])['/Resources']).toBe(qpdfArt(file).dict['/Resources']);
    const used = file.dict(file.dict(forms['/Used'])['/Resources']);
    expect(names('/ExtGState', used)).toEqual(['/In']);
    expect(names('/XObject', used)).toEqual([]);
    expect(JSON.stringify(file.expanded(qpdfArt(file).ref))).not.toContain(
      Buffer.from('SPARE SPARE SPARE ').toString('base64'),
    );
  });

  it('annotations, structure and private data are left out', async () => {
    const pdf = rawPdf({
      page: `${MEDIA} /Annots [20 0 R] /StructParents 3 /PieceInfo << /Draw << /Private 23 0 R >> >>`,
      catalog:
        '/StructTreeRoot 21 0 R /MarkInfo << /Marked true >> /Names << >> /AcroForm << /Fields [20 0 R] >>',
      resources: '/XObject << /Form 22 0 R >>',
      content: '/Form Do',
      objects: {
        20: '<< /Type /Annot /Subtype /Widget /FT /Tx /T (x) /Rect [0 0 9 9] /P 3 0 R >>',
        21: '<< /Type /StructTreeRoot /K [] >>',
        22: {
          dict: '/Type /XObject /Subtype /Form /BBox [0 0 9 9] /StructParent 4 /PieceInfo << /Draw << /Private 23 0 R >> >> /Metadata 24 0 R /Odd 3 0 R',
          data: '0 0 9 9 re f',
        },
        23: { data: 'private' },
        24: { dict: '/Type /Metadata /Subtype /XML', data: '<x/>' },
      },
    });
    const { panel } = await pixelCut(pdf);
    const file = qpdfDocument(panel.bytes);
    const { catalog, page } = qpdfPanel(file);
    expect(Object.keys(catalog).sort()).toEqual(['/Pages', '/Type']);
    const everything = JSON.stringify([file.expanded(page['/Resources']), Object.keys(page)]);
    for (const key of ['Annots', 'StructParent', 'PieceInfo', 'Metadata', 'Private']) {
      expect(everything).not.toContain(key);
    }
    expect(
      file.dict(file.dict(file.dict(qpdfArt(file).dict['/Resources'])['/XObject'])['/Form'])['/Odd'],
    ).toBeUndefined();
  });

  it('a shared object is copied once, a chain of 5,000 references is followed', async () => {
    const links = Object.fromEntries(
      Array.from({ length: 5000 }, (_, index) => [100 + index, `<< /Next ${101 + index} 0 R >>`]),
    );
    const pdf = rawPdf({
      page: MEDIA,
      resources:
        '/ExtGState << /A 20 0 R /B 20 0 R >> /Properties << /Chain 100 0 R >> /XObject << /Loop 21 0 R >>',
      content: '/A gs /B gs /Span /Chain BDC EMC /Loop Do',
      objects: {
        20: '<< /ca 0.5 >>',
        21: {
          dict: '/Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << /XObject << /Loop 21 0 R >> >>',
          data: '/Loop Do',
        },
        ...links,
        5100: '<< /End true >>',
      },
    });
    const { panel } = await pixelCut(pdf);
    const file = qpdfDocument(panel.bytes);
    const states = file.dict(file.dict(qpdfArt(file).dict['/Resources'])['/ExtGState']);
    expect(states['/A']).toBe(states['/B']);
    expect(file.objectCount).toBeGreaterThan(5001);
    // Beside the chain: the panel's own objects, and streams that pack 200 objects each.
    expect(file.objectCount).toBeLessThan(5050);
  });
});

/** The claim to be PDF/X-4 (ISO 15930-7, from memory of the standard): kept where it is true of the panel, else removed. */
import { PDFArray, PDFDict, PDFDocument, PDFName } from 'pdf-lib';
import { describe, expect, it } from 'vitest';
import { pdfx4PageBreaches } from '../../../core/checks/pdfx4-page.ts';
import type { PanelCut } from '../../../core/cut/cut-request.ts';
import { claimFaults } from '../../../core/verify/structure/panel-claim.ts';
import { panelDocument } from '../../../core/verify/structure/panel-document.ts';
import { pdfCodecs } from '../../../main/files/pdf-source.ts';
import { byteSourceFromBytes } from '../../support/artwork-bytes.ts';
import { CLAIMING_CUT as CUT, claiming } from '../../support/claiming-artwork.ts';
import { opened, resultValue, TOOLS } from '../../support/panel-check.ts';
import { panelPdf } from '../../support/panel-pdf.ts';
import { qpdfDocument } from '../../support/qpdf-json.ts';
import { withPdfFile } from '../../support/tool-renderers.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';

async function cut(pdf: Uint8Array, change: Partial<PanelCut> = {}) {
  const artwork = await opened(pdf);
  const tools = { ...TOOLS, pdfxBreaches: (page: number) => pdfx4PageBreaches(artwork, page) };
  return resultValue(await panelPdf(artwork, { ...CUT, ...change }, tools));
}

const panelBreaches = async (bytes: Uint8Array) => pdfx4PageBreaches(await opened(bytes), 1);

describe('a panel of artwork that claims PDF/X-4', () => {
  it('CUT18 keeps a claim that is true of it, and passes the same check when it is read back', async () => {
    const { bytes, notes } = await cut(claiming());
    expect(notes).toEqual(['The panel keeps the PDF/X-4 claim of the artwork.']);
    expect(await panelBreaches(bytes)).toEqual([]);
    expect((await cut(claiming())).bytes).toEqual(bytes);
  });

  it('CUT18 claims nothing where the artwork does not, or where nobody checks', async () => {
    const other = await cut(claiming({ claim: 'PDF/X-4p' }));
    expect(other.notes).toEqual([]);
    expect(await panelBreaches(other.bytes)).toBeUndefined();
    const unchecked = resultValue(await panelPdf(await opened(claiming()), CUT, TOOLS));
    expect(await panelBreaches(unchecked.bytes)).toBeUndefined();
  });

  const FONT =
    '/Font << /F1 << /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >> >>';
  const REMOVED: readonly (readonly [string, Uint8Array, Partial<PanelCut>, RegExp])[] = [
    [
      'a font that is not embedded',
      claiming({}, { resources: FONT, content: 'BT /F1 40 Tf 200 200 Td (Read) Tj ET' }),
      {},
      /of the artwork, page 1 uses fonts that are not embedded: Helvetica\.$/,
    ],
    [
      'an output intent without a profile',
      claiming({ profile: '' }),
      { marks: undefined },
      /of the artwork, its output intent for PDF\/X embeds no profile\.$/,
    ],
    [
      'an output intent for light under marks in ink',
      claiming({ components: 3 }),
      {},
      /: the marks are in black ink, but the output intent is for other colors\.$/,
    ],
    [
      'a trapping state that nobody tells',
      claiming({ trapped: '/Trapped /Unknown' }),
      {},
      /does not say whether it is trapped\.$/,
    ],
    [
      'a page in larger units',
      claiming(),
      { size: { kind: 'user-unit' }, scale: 60, ...sixfold(CUT) },
      /: the page is measured in larger units \(UserUnit\)\.$/,
    ],
    [
      'art that is missing at an edge',
      claiming(),
      { net: { ...CUT.net, x: 20 } },
      /: what stays visible reaches beyond what is printed\.$/,
    ],
  ];
  it.each(REMOVED)('CUT18 removes the claim for %s, and says so', async (_, pdf, change, words) => {
    const { bytes, notes } = await cut(pdf, change);
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatch(/^The PDF\/X-4 claim of the artwork was removed: /);
    expect(notes[0]).toMatch(words);
    expect(await panelBreaches(bytes)).toBeUndefined();
  });

  it('PF13 is held to its claim by the proof', async () => {
    const { bytes } = await cut(claiming());
    const faultsOf = async (pdf: Uint8Array) => {
      const document = resultValue(await panelDocument(byteSourceFromBytes(pdf), pdfCodecs));
      return claimFaults({ label: 'LH-01', sideCode: 'LH' } as never, document);
    };
    expect(await faultsOf(bytes)).toEqual([]);
    const broken = await PDFDocument.load(bytes, { updateMetadata: false });
    broken.getPage(0).node.delete(PDFName.of('TrimBox'));
    broken.catalog
      .lookup(PDFName.of('OutputIntents'), PDFArray)
      .lookup(0, PDFDict)
      .set(PDFName.of('S'), PDFName.of('GTS_PDFA1'));
    const [fault] = await faultsOf(await broken.save({ useObjectStreams: false }));
    expect(fault).toMatchObject({
      code: 'claim-broken',
      panels: ['LH-01'],
      message:
        'LH-01 claims to be PDF/X-4 but breaks its rules: it has no output intent for PDF/X and page 1 states neither TrimBox nor ArtBox.',
    });
  });
});

/** The same film at six times the size, which no page holds in plain units. */
function sixfold({ printed, net, filmWidthMm, filmHeightMm }: PanelCut) {
  const times = <R extends { x: number; y: number; width: number; height: number }>(rect: R): R => ({
    ...rect,
    x: rect.x * 6,
    y: rect.y * 6,
    width: rect.width * 6,
    height: rect.height * 6,
  });
  return {
    printed: times(printed),
    net: times(net),
    filmWidthMm: filmWidthMm * 6,
    filmHeightMm: filmHeightMm * 6,
  };
}

describeWithTools(['qpdf', 'pdfinfo'], 'a kept claim, as other programs read it', () => {
  it('CUT18 stands in XMP that agrees with the document information, with output intent and nested boxes', async () => {
    const { bytes } = await cut(claiming());
    const file = qpdfDocument(bytes);
    const catalog = file.dict(file.trailer['/Root']);
    const pages = file.dict(catalog['/Pages'])['/Kids'] as readonly string[];
    const page = file.dict(pages[0]);
    const numbers = (key: string) =>
      (page[key] as readonly number[]).map((value) => Math.round(value * 100) / 100);
    const [media, bleed, trim] = ['/MediaBox', '/BleedBox', '/TrimBox'].map(numbers);
    for (const [outer, inner] of [
      [media, bleed],
      [bleed, trim],
    ] as const) {
      expect(inner![0]).toBeGreaterThanOrEqual(outer![0]!);
      expect(inner![1]).toBeGreaterThanOrEqual(outer![1]!);
      expect(inner![2]).toBeLessThanOrEqual(outer![2]!);
      expect(inner![3]).toBeLessThanOrEqual(outer![3]!);
    }
    expect(page['/ArtBox']).toBeUndefined();
    expect(file.dict(file.dict(catalog['/OCProperties'])['/D'])['/Name']).toMatch(/^u:\S/);
    expect(file.expanded(catalog['/OutputIntents'])).toMatchObject([{ '/S': '/GTS_PDFX' }]);
    expect(file.trailer['/ID']).toHaveLength(2);

    const xmp = withPdfFile(bytes, (path) => runTool('pdfinfo', ['-meta', path])).toString('utf8');
    expect(xmp).toContain('<pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion>');
    expect(xmp).toContain('AC-7 LH-01 &lt;left &amp; "right"&gt;');
    expect(xmp).toContain('<xmp:CreateDate>2026-11-25T00:00:00Z</xmp:CreateDate>');
    expect(xmp).toContain('<pdf:Trapped>False</pdf:Trapped>');
    const info = file.dict(file.trailer['/Info']);
    expect(info['/Trapped']).toBe('/False');
    expect(info['/ModDate']).toBe('u:D:20261125000000Z');
    expect(info['/Title']).toBe('u:AC-7 LH-01 <left & "right">');
  });
});

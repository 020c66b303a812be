/** The claim to be PDF/X-4 of a strip: kept where it is true of every panel and of the strip's own page. */
import { PDFDocument, PDFName } from 'pdf-lib';
import { describe, expect, it } from 'vitest';
import { pdfx4PageBreaches } from '../../../../core/checks/pdfx4-page.ts';
import { writeStrip } from '../../../../core/cut/strips/strip-document.ts';
import type { StripPage } from '../../../../core/cut/strips/strip-page.ts';
import type { StripPanel } from '../../../../core/cut/strips/strip-panel.ts';
import { CLAIMING_CUT, claiming } from '../../../support/claiming-artwork.ts';
import { opened, resultValue, TEST_INFO, TOOLS } from '../../../support/panel-check.ts';
import { panelPdf } from '../../../support/panel-pdf.ts';
import { qpdfDocument } from '../../../support/qpdf-json.ts';
import { withPdfFile } from '../../../support/tool-renderers.ts';
import { describeWithTools, runTool } from '../../../support/tools.ts';

const CUT_MARK = { x: 0, y: 770, width: 1300, height: 0 };

interface Asked {
  /** The artwork of each panel. */
  readonly pdfs?: readonly Uint8Array[];
  readonly page?: Partial<StripPage>;
  readonly against?: readonly string[] | undefined;
}

async function stripOf({ pdfs = [claiming(), claiming()], page = {}, ...asked }: Asked = {}) {
  const against = 'against' in asked ? asked.against : [];
  const panels: StripPanel[] = [];
  for (const [index, pdf] of pdfs.entries()) {
    const artwork = await opened(pdf);
    const tools = { ...TOOLS, pdfxBreaches: (number: number) => pdfx4PageBreaches(artwork, number) };
    const panel = await opened(resultValue(await panelPdf(artwork, CLAIMING_CUT, tools)).bytes);
    panels.push({
      label: `LH-0${index + 1}`,
      pdf: panel,
      sha256: `${index}`.repeat(64),
      widthMm: CLAIMING_CUT.filmWidthMm,
      heightMm: CLAIMING_CUT.filmHeightMm,
      placement: { panelId: `p${index}`, xMm: 3, yMm: 5 + 780 * index, turned: false },
      pdfxBreaches: await pdfx4PageBreaches(panel, 1),
    });
  }
  const onPage: StripPage = {
    filmWidthMm: 1300,
    filmHeightMm: 1600,
    placements: panels.map(({ placement }) => placement),
    cutMarks: [CUT_MARK],
    size: { kind: 'true-size' },
    ...page,
  };
  const parts: Uint8Array[] = [];
  const output = { write: (bytes: Uint8Array) => void parts.push(bytes.slice()), rewind: () => undefined };
  const { pdfx } = resultValue(
    await writeStrip(onPage, panels, TEST_INFO, output, { ...TOOLS, againstPdfx: against }),
  );
  const bytes = new Uint8Array(Buffer.concat(parts));
  return { bytes, pdfx, breaches: await pdfx4PageBreaches(await opened(bytes), 1) };
}

describe('a strip of artwork that claims PDF/X-4', () => {
  it('STR10 keeps a claim that is true of it, and passes the same check when it is read back', async () => {
    const { bytes, pdfx, breaches } = await stripOf();
    expect(pdfx).toEqual({ isKept: true, note: 'The strip keeps the PDF/X-4 claim of its panels.' });
    expect(breaches).toEqual([]);
    expect((await stripOf()).bytes).toEqual(bytes);
    const page = (await PDFDocument.load(bytes, { updateMetadata: false })).getPage(0).node;
    expect(String(page.get(PDFName.of('TrimBox')))).toBe(String(page.get(PDFName.of('MediaBox'))));
  });

  it('STR10 claims nothing where the artwork does not', async () => {
    const { pdfx, breaches } = await stripOf({ against: undefined });
    expect(pdfx).toBeUndefined();
    expect(breaches).toBeUndefined();
  });

  const light = claiming({ components: 3 });
  const REMOVED: readonly (readonly [string, Asked, RegExp])[] = [
    ['a panel that lost it', { pdfs: [claiming(), light] }, /: LH-02 does not claim it\.$/],
    [
      'panels that lost it, and an output intent for light',
      { pdfs: [light, light] },
      /: LH-01 and LH-02 do not claim it; the lines to cut along are in black ink, but the output intent is for other colors\.$/,
    ],
    [
      'a page in larger units',
      { page: { filmHeightMm: 9000, size: { kind: 'user-unit' } } },
      /: the page is measured in larger units \(UserUnit\)\.$/,
    ],
    [
      'what was found in the file itself',
      { against: ['page 1 states neither TrimBox nor ArtBox'] },
      /: page 1 states neither TrimBox nor ArtBox\.$/,
    ],
  ];
  it.each(REMOVED)('STR10 loses the claim for %s, and says so', async (_, asked, words) => {
    const { pdfx, breaches } = await stripOf(asked);
    expect(pdfx!.isKept).toBe(false);
    expect(pdfx!.note).toMatch(/^The strip does not keep the artwork's claim to be PDF\/X-4: /);
    expect(pdfx!.note).toMatch(words);
    expect(breaches).toBeUndefined();
  });
});

describeWithTools(['qpdf'], 'strips that claim PDF/X-4, by qpdf', () => {
  it('STR10 state the same in XMP and document information, in a sound file', async () => {
    const { bytes } = await stripOf();
    const told = withPdfFile(bytes, (path) => runTool('qpdf', ['--check', path]));
    expect(told.toString()).toContain('No syntax or stream encoding errors');
    const xmp = Buffer.from(bytes).toString('latin1');
    expect(xmp).toContain('<pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion>');
    expect(xmp).toContain('<pdf:Trapped>False</pdf:Trapped>');
    const { trailer, dict } = qpdfDocument(bytes);
    expect(dict(trailer['/Info'])).toMatchObject({ '/Trapped': '/False' });
  });
});

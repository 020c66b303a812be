import { PDFDocument, PDFName } from 'pdf-lib';
import { expect, it } from 'vitest';
import type { MarksPainter } from '../../../core/cut/marks/marks-painter.ts';
import { opened, pixelCut, sha256, TOOLS } from '../../support/panel-check.ts';
import { panelPdf } from '../../support/panel-pdf.ts';
import { checkWithQpdf, qpdfArt, qpdfDocument, qpdfPanel } from '../../support/qpdf-json.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { describeWithTools } from '../../support/tools.ts';
import { TRAP_PAGES } from '../../support/trap-pages.ts';

const MEDIA = '/MediaBox [0 0 210 130]';
const trap = (name: string): Uint8Array => TRAP_PAGES.find((page) => page.name === name)!.pdf;

const rounded = (value: unknown): number[] => (value as number[]).map((number) => Number(number.toFixed(4)));

const MARKS: MarksPainter = {
  layer: 'Labels and märks',
  key: 'test',
  draw: (context) => ({ operators: '0 0 0 1 k 3 4 20 10 re f', resources: context.obj({}) }),
};

describeWithTools(['qpdf'], 'CUT8 layers keep their state, marks have one of their own', () => {
  it('default state, usage and radio groups of the source survive (8.11.4.3)', async () => {
    const state =
      '/BaseState /OFF /ON [20 0 R] /OFF [21 0 R] /Order [20 0 R [(Pair) 21 0 R]] /RBGroups [[20 0 R 21 0 R]] /AS [<< /Event /Print /Category [/Print] /OCGs [20 0 R] >>] /Locked [21 0 R]';
    const pdf = rawPdf({
      page: MEDIA,
      catalog: `/OCProperties << /OCGs [20 0 R 21 0 R] /D << ${state} >> >>`,
      resources: '/Properties << /A 20 0 R /B 22 0 R >>',
      content: '/OC /A BDC EMC /OC /B BDC EMC',
      objects: {
        20: '<< /Type /OCG /Name (Art) /Usage << /Print << /PrintState /ON >> >> >>',
        21: '<< /Type /OCG /Name (Guides) >>',
        22: '<< /Type /OCMD /OCGs [20 0 R 21 0 R] /P /AllOn >>',
      },
    });
    const file = qpdfDocument((await pixelCut(pdf)).panel.bytes);
    const properties = file.dict(qpdfPanel(file).catalog['/OCProperties']);
    expect(file.expanded(properties)).toEqual(
      qpdfDocument(pdf).expanded(qpdfPanel(qpdfDocument(pdf)).catalog['/OCProperties']),
    );
    const used = file.dict(file.dict(qpdfArt(file).dict['/Resources'])['/Properties']);
    expect((properties['/OCGs'] as string[])[0]).toBe(used['/A']);
    expect(file.dict(used['/B'])['/OCGs']).toEqual(properties['/OCGs']);
  });

  it('marks are on, in their own layer, outside the art, in film millimeters', async () => {
    const { panel, cut } = await pixelCut(trap('layers of which all are off but one'), {
      marks: MARKS,
      scale: 2,
    });
    const file = qpdfDocument(panel.bytes);
    checkWithQpdf(panel.bytes);
    const { catalog, page } = qpdfPanel(file);
    const properties = file.dict(catalog['/OCProperties']);
    const group = (properties['/OCGs'] as string[]).at(-1)!;
    expect(file.dict(group)).toEqual({ '/Type': '/OCG', '/Name': 'u:Labels and märks' });
    const state = file.dict(properties['/D']);
    expect(state['/BaseState']).toBe('/OFF');
    expect(state['/ON']).toContain(group);
    expect(state['/Order']).toContain(group);
    expect(properties['/OCGs']).toHaveLength(3);
    const resources = file.dict(page['/Resources']);
    expect(file.dict(resources['/Properties'])['/Layer']).toBe(group);
    const marks = file.dict(file.dict(resources['/XObject'])['/Marks']);
    expect(rounded(marks['/BBox'])).toEqual(rounded([0, 0, cut.filmWidthMm, cut.filmHeightMm]));
    expect(rounded(marks['/Matrix'])).toEqual([2.8346, 0, 0, 2.8346, 0, 0]);
    expect(file.data(page['/Contents']!).toString()).toBe('q /Art Do Q\n/OC /Layer BDC q /Marks Do Q EMC\n');
  });

  it('without layers in the source, the marks bring the first', async () => {
    const { panel } = await pixelCut(trap('patterns and shadings'), { marks: MARKS });
    const file = qpdfDocument(panel.bytes);
    expect(file.dict(qpdfPanel(file).catalog['/OCProperties'])['/OCGs']).toHaveLength(1);
  });
});

describeWithTools(['qpdf'], 'CUT9 what the file says about itself', () => {
  const pdfx = rawPdf({
    page: `${MEDIA} /OutputIntents [24 0 R]`,
    catalog: '/OutputIntents [20 0 R] /Metadata 21 0 R',
    content: '0 0 9 9 re f',
    objects: {
      20: '<< /Type /OutputIntent /S /GTS_PDFX /OutputConditionIdentifier (FOGRA39) /DestOutputProfile 23 0 R >>',
      21: {
        dict: '/Type /Metadata /Subtype /XML',
        data: '<pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion>',
      },
      22: '<< /Title (Old) /GTS_PDFXVersion (PDF/X-4) /GTS_PDFXConformance (x) /Trapped /True >>',
      23: { dict: '/N 4', data: 'profile' },
      24: '<< /Type /OutputIntent /S /GTS_PDFX /OutputConditionIdentifier (Page) >>',
    },
    trailer: '/Info 22 0 R',
    version: '2.0',
  });

  it('output intents stay, the PDF/X claim goes (ISO 15930-7)', async () => {
    const file = qpdfDocument((await pixelCut(pdfx)).panel.bytes);
    const { catalog, page } = qpdfPanel(file);
    expect(file.expanded(catalog['/OutputIntents'])).toEqual([
      {
        '/Type': '/OutputIntent',
        '/S': '/GTS_PDFX',
        '/OutputConditionIdentifier': 'u:FOGRA39',
        '/DestOutputProfile': { stream: { '/N': 4 }, data: Buffer.from('profile').toString('base64') },
      },
    ]);
    expect(file.expanded(page['/OutputIntents'])).toMatchObject([{ '/OutputConditionIdentifier': 'u:Page' }]);
    expect(catalog['/Metadata']).toBeUndefined();
    expect(file.dict(file.trailer['/Info'])).toEqual({
      '/Title': 'u:LH-03',
      '/Creator': 'u:Panelwright test',
      '/Producer': 'u:Panelwright test',
      '/CreationDate': 'u:D:20261125000000Z',
      '/ModDate': 'u:D:20261125000000Z',
      '/Trapped': '/True',
    });
  });

  it('the version is at least 1.5 for layers, 1.6 for UserUnit, and never lower than the source', async () => {
    const old = rawPdf({ page: MEDIA, content: '0 0 9 9 re f', version: '1.3' });
    const version = async (pdf: Uint8Array, scale: number): Promise<string> =>
      qpdfDocument((await pixelCut(pdf, { scale, size: { kind: 'user-unit' } })).panel.bytes).version;
    expect(await version(old, 1)).toBe('1.5');
    expect(await version(old, 100)).toBe('1.6');
    expect(await version(pdfx, 1)).toBe('2.0');
  });

  it('the same cut gives the same bytes, another cut another identifier', async () => {
    const pdf = trap('patterns and shadings');
    const artwork = await opened(pdf);
    const { cut } = await pixelCut(pdf, { window: { x: 31, y: 17, width: 97, height: 71 }, marks: MARKS });
    const bytes = async (change: Partial<typeof cut> = {}, from = artwork): Promise<Buffer> => {
      const panel = await panelPdf(from, { ...cut, ...change }, TOOLS);
      return panel.ok ? Buffer.from(panel.value.bytes) : Buffer.alloc(0);
    };
    const first = await bytes();
    expect(first.length).toBeGreaterThan(1000);
    expect(await bytes()).toEqual(first);
    expect(await bytes({}, await opened(pdf.slice()))).toEqual(first);
    const ordered = Object.fromEntries(Object.entries(cut).reverse()) as unknown as typeof cut;
    expect(await bytes(ordered)).toEqual(first);
    const identifiers = new Set<unknown>();
    for (const change of [
      {},
      { info: { ...cut.info, title: 'LH-04' } },
      { marks: { ...MARKS, key: 'other' } },
    ]) {
      identifiers.add(JSON.stringify(qpdfDocument(await bytes(change)).trailer['/ID']));
    }
    expect(identifiers.size).toBe(3);
  });

  it('panels cut at the same time do not disturb each other', async () => {
    const pdf = trap('Separation and DeviceN color');
    const artwork = await opened(pdf);
    const cuts = await Promise.all([3, 5, 7].map(async (scale) => (await pixelCut(pdf, { scale })).cut));
    const together = await Promise.all(cuts.map((cut) => panelPdf(artwork, cut, TOOLS)));
    for (const [index, cut] of cuts.entries()) {
      expect(together[index]).toEqual(await panelPdf(await opened(pdf), cut, { ...TOOLS, sha256 }));
    }
  });

  it('pdf-lib reads the panel back too', async () => {
    const document = await PDFDocument.load((await pixelCut(pdfx)).panel.bytes, { updateMetadata: false });
    expect(document.getPageCount()).toBe(1);
    expect(document.catalog.has(PDFName.of('Metadata'))).toBe(false);
  });
});

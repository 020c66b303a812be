import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PDFDocument } from 'pdf-lib';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { smallJob } from '../../support/small-job.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);
const copy = () => at('out', 'SJ-7', 'findings-1', 'SJ-7_artwork-with-findings.pdf');
const report = () => at('out', 'SJ-7', 'findings-1', 'SJ-7_findings.pdf');

/** 320 × 140 mm at 1:10: DeviceRGB, a font that is not there, a spot ink; one annotation of its own. */
const troubled = (page = '/MediaBox [0 0 907.087 396.85]') =>
  rawPdf({
    page: `${page} /Annots [40 0 R]`,
    resources:
      '/ColorSpace << /Red [/Separation /Signal#20Red /DeviceCMYK 30 0 R] >> /Font << /F1 << /Type /Font /Subtype /Type1 /BaseFont /Courier >> >>',
    content:
      '0 0.4 0.2 0.1 k 0 0 908 397 re f 1 0.2 0 rg 56.69 113.39 141.73 85.04 re f /Red cs 1 scn 500 90 80 70 re f BT /F1 30 Tf 700 200 Td (Alder) Tj ET',
    objects: {
      30: { dict: '/FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 1 0]', data: '' },
      40: '<< /Type /Annot /Subtype /Text /Rect [10 10 30 30] /Contents (From the customer) >>',
    },
  });

interface Listed {
  readonly subtype: string;
  readonly rect: readonly number[];
  readonly contentsObj: { readonly str: string };
  readonly titleObj: { readonly str: string };
  readonly hasAppearance: boolean;
}

async function listed(path: string): Promise<Listed[]> {
  const document = await getDocument({ data: new Uint8Array(readFileSync(path)), verbosity: 0 }).promise;
  try {
    return (await (await document.getPage(1)).getAnnotations()) as Listed[];
  } finally {
    await document.loadingTask.destroy();
  }
}

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-designer-'));
  writeFileSync(at('art.pdf'), troubled());
  writeFileSync(at('job.json'), jobToJson(smallJob()));
});
afterEach(() => rmSync(folder, { recursive: true }));

const write = () => run('designer-findings', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'));

describeWithTools(['qpdf', 'mutool', 'pdftotext', 'pdftoppm'], 'findings for the designer', () => {
  it('stand in a report and as annotations that readers list, with the same numbers', async () => {
    const { code, err, out } = await write();
    expect([code, err]).toEqual([EXIT.done, '']);
    const text = runTool('pdftotext', ['-layout', report(), '-']).toString();
    expect(text).toContain('Convert these objects to CMYK, or give them an RGB profile.');
    expect(text).toContain('Embed all fonts, or turn the lettering to outlines.');
    // The list of spot inks is for the operator of the RIP.
    expect(text).not.toContain('Load or look up these inks');
    const all = await listed(copy());
    const [customer, ...own] = all;
    expect(customer!.contentsObj.str).toBe('From the customer');
    expect(out).toContain(`${own.length} findings for the designer.`);
    const rgb = own.find(({ contentsObj }) => contentsObj.str.includes('DeviceRGB'))!;
    expect([rgb.subtype, rgb.titleObj.str, rgb.hasAppearance]).toEqual(['Square', 'Prepress', true]);
    // 56.69 to 198.42 across and 113.39 to 198.43 up the page.
    for (const [index, place] of [56.69, 113.39, 198.42, 198.43].entries())
      expect(rgb.rect[index]).toBeCloseTo(place, 1);
    const number = /^(\d+)\. /.exec(rgb.contentsObj.str)![1]!;
    expect(text).toMatch(new RegExp(`^ *${number} +please change +Page 1 .*DeviceRGB`, 'm'));
    const other = runTool('mutool', ['show', copy(), 'pages/1/Annots/*/Subtype']).toString();
    expect(other.match(/\/Square/g)?.length).toBe(own.filter(({ subtype }) => subtype === 'Square').length);
    expect(runTool('qpdf', ['--check', copy()]).toString()).toContain('No syntax or stream encoding errors');
  });

  it('leaves the artwork byte for byte, whatever kind of cross-reference it has', async () => {
    for (const useObjectStreams of [false, true]) {
      const document = await PDFDocument.load(troubled());
      const bytes = await document.save({ useObjectStreams });
      writeFileSync(at('art.pdf'), bytes);
      rmSync(at('out'), { recursive: true, force: true });
      expect((await write()).code).toBe(EXIT.done);
      const whole = readFileSync(copy());
      expect(whole.subarray(0, bytes.length).equals(Buffer.from(bytes))).toBe(true);
      expect(runTool('qpdf', ['--check', copy()]).toString()).toContain('No syntax');
      expect((await listed(copy())).length).toBeGreaterThan(2);
    }
  });

  it('frames the place on a turned page in larger units', async () => {
    // The same page turned by 90° and drawn in units of 2: it shows 320 × 140 mm again.
    const turned = rawPdf({
      page: '/MediaBox [0 0 198.425 453.543] /Rotate 90 /UserUnit 2',
      content: '0 0.4 0.2 0.1 k 0 0 199 454 re f 1 0.2 0 rg 50 60 40 80 re f',
    });
    writeFileSync(at('art.pdf'), turned);
    expect((await write()).code).toBe(EXIT.done);
    const rgb = (await listed(copy())).find(({ contentsObj }) => contentsObj.str.includes('DeviceRGB'))!;
    for (const [index, place] of [50, 60, 90, 140].entries()) expect(rgb.rect[index]).toBeCloseTo(place, 1);
    // Its frame is drawn there, too: shown turned, it begins 60 of 453.5 from the left, and 70 of 198.4 below the top is on it.
    const ppm = runTool('pdftoppm', ['-r', '144', '-singlefile', copy()]);
    const [head] = /^P6\s+(\d+)\s+(\d+)\s+255\s/.exec(ppm.subarray(0, 40).toString('latin1'))!;
    const widthPx = Number(/\d+/.exec(head.slice(2))![0]);
    const pixel = (x: number, y: number) => [
      ...ppm.subarray(head.length + 3 * (y * widthPx + x)).subarray(0, 3),
    ];
    const scale = widthPx / 453.543;
    const line = [0, 1, 2, 3].map((more) => pixel(Math.round(60 * scale) + more, Math.round(70 * scale)));
    expect(line.some(([r, g, b]) => r! > 180 && g! > 60 && g! < 160 && b! < 60)).toBe(true);
  });

  it('writes the report alone of a damaged file, and says so', async () => {
    const whole = troubled();
    writeFileSync(at('art.pdf'), whole.subarray(0, Buffer.from(whole).lastIndexOf('xref')));
    const { code, out } = await write();
    expect(code).toBe(EXIT.done);
    expect(out).toContain('Send the report alone');
    expect([existsSync(report()), existsSync(copy())]).toEqual([true, false]);
  });

  it('leaves out what the shop has acknowledged', async () => {
    const found = await run('--json', 'check', at('job.json'), '--artwork', at('art.pdf'));
    const { findings } = JSON.parse(found.out) as { findings: { code: string; key: string }[] };
    const key = findings.find(({ code }) => code === 'color-rgb')!.key;
    writeFileSync(
      at('job.json'),
      jobToJson(smallJob({ acknowledgements: [{ finding: key, by: 'Prepress', note: 'as agreed' }] })),
    );
    expect((await write()).code).toBe(EXIT.done);
    const own = await listed(copy());
    expect(own.some(({ contentsObj }) => contentsObj.str.includes('DeviceRGB'))).toBe(false);
    expect(own.length).toBeGreaterThan(1);
  });

  it('SL3 writes the seams at true size, with panels as far off as asked', async () => {
    const sheets = (off: string) =>
      run(
        'sheets',
        at('job.json'),
        '--artwork',
        at('art.pdf'),
        '--to',
        at('out'),
        '--sheets',
        'seams',
        '--seams-off',
        off,
      );
    const written = await sheets('2 mm, -1 mm');
    expect([written.code, written.err]).toEqual([EXIT.done, '']);
    const pdf = at('out', 'SJ-7', 'sheets-1', 'SJ-7_seams.pdf');
    const text = runTool('pdftotext', ['-layout', pdf, '-']).toString().replaceAll(/\s+/g, ' ');
    expect(text).toContain('2 mm away from its neighbor and 1 mm off along the seam');
    expect(text).toContain('This line is 100 mm long.');
    const [page] = runTool('pdftoppm', ['-r', '25.4', '-png', pdf]).toString('latin1');
    expect(page).toBe('\u0089');
    const far = await sheets('4 mm');
    expect(far.code).not.toBe(EXIT.done);
    expect(far.err).toContain('3 mm');
  });

  it('a proof reads the lettering back, and a signature is entered by command', async () => {
    const proofed = await run(
      'sheets',
      at('job.json'),
      '--artwork',
      at('art.pdf'),
      '--to',
      at('out'),
      '--sheets',
      'proof',
    );
    expect([proofed.code, proofed.err]).toEqual([EXIT.done, '']);
    const text = runTool('pdftotext', [
      '-layout',
      at('out', 'SJ-7', 'sheets-1', 'SJ-7_customer-proof.pdf'),
      '-',
    ]).toString();
    expect(text).toMatch(/^ *Alder +_+/m);
    expect(text).toMatch(/Spot ink +Signal Red/);
    const early = await run('approve', at('job.json'), '--by', 'Ann Lee');
    expect(early.err).toContain('has no artwork yet');
    await run('import', at('art.pdf'), '--job', at('job.json'));
    const nameless = await run('approve', at('job.json'));
    expect(nameless.err).toContain('The signature has no name.');
    const entered = await run('approve', at('job.json'), '--by', 'Ann Lee', '--on', '2026-11-20');
    expect([entered.code, entered.err]).toEqual([EXIT.done, '']);
    expect(JSON.parse(readFileSync(at('job.json'), 'utf8')).approval).toMatchObject({
      by: 'Ann Lee',
      on: '2026-11-20',
    });
    await run('approve', at('job.json'), '--clear');
    expect(JSON.parse(readFileSync(at('job.json'), 'utf8')).approval).toBeUndefined();
  });
});

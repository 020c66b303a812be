import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PDFDocument } from 'pdf-lib';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Finding } from '../../../core/findings/finding.ts';
import { jobToJson } from '../../../core/job/job-json.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-report-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  writeFileSync(at('job.json'), jobToJson(smallJob()));
  // 320 × 140 mm as the small artwork is, in DeviceRGB, with a spot ink and a font that is not there.
  const pdf = rawPdf({
    page: '/MediaBox [0 0 908 397]',
    resources:
      '/ColorSpace << /Red [/Separation /Signal#20Red /DeviceCMYK 30 0 R] >> /Font << /F1 << /Type /Font /Subtype /Type1 /BaseFont /Courier >> >>',
    content:
      '1 0.2 0 rg 0 0 908 397 re f /Red cs 1 scn 90 90 80 70 re f BT /F1 60 Tf 300 200 Td (Alder) Tj ET',
    objects: { 30: { dict: '/FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 1 0]', data: '' } },
  });
  writeFileSync(at('troubled.pdf'), pdf);
});
afterEach(() => rmSync(folder, { recursive: true }));

const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);

describe('checks on the command line', () => {
  it('inspect names inks, the coarsest image and missing fonts', async () => {
    const { code, out } = await run('inspect', at('troubled.pdf'));
    expect(code).toBe(EXIT.done);
    expect(out).toContain('page 1, color spaces: DeviceRGB (1), Separation Signal Red (2)');
    expect(out).toContain('page 1, spot inks: Signal Red (else DeviceCMYK)');
    expect(out).toContain('page 1, fonts not embedded: Courier');
    expect(out).not.toContain('coarsest image');
    const plain = await run('inspect', at('art.pdf'));
    expect(plain.out).toContain('page 1, color spaces:');
    expect(plain.out).not.toContain('fonts not embedded');
  });

  it('check and cut stop at warnings of the artwork that nobody accepted', async () => {
    const checked = await run('--json', 'check', at('job.json'), '--artwork', at('troubled.pdf'));
    const { findings } = JSON.parse(checked.out) as { findings: Finding[] };
    const warned = findings.filter(({ severity }) => severity === 'warn').map(({ code }) => code);
    expect(warned.sort()).toEqual(['color-rgb', 'font-missing', 'seam-through-lettering']);
    const cut = await run(
      'cut',
      at('job.json'),
      '--artwork',
      at('troubled.pdf'),
      '--to',
      at('out'),
      '--no-verification',
    );
    expect(cut.code).toBe(EXIT.blocked);
    expect(cut.out).toContain('DeviceRGB');
    expect((await run('check', at('job.json'), '--artwork', at('art.pdf'))).code).toBe(EXIT.done);
  });

  it('report writes the findings of the job as a PDF, the same bytes each time', async () => {
    const report = (name: string) =>
      run('report', at('job.json'), '--artwork', at('troubled.pdf'), '--to', at(name));
    const first = await report('report.pdf');
    expect([first.code, first.err]).toEqual([EXIT.done, '']);
    expect(first.out).toMatch(/Written: .*report\.pdf, 2 pages, \d+ findings\./);
    const bytes = readFileSync(at('report.pdf'));
    expect((await PDFDocument.load(bytes)).getPageCount()).toBe(2);
    // In its own place too, but never in the place of a file that it did not draw.
    expect((await report('report.pdf')).code).toBe(EXIT.done);
    expect(readFileSync(at('report.pdf')).equals(bytes)).toBe(true);
    const artwork = readFileSync(at('art.pdf'));
    const refused = await report('art.pdf');
    expect(refused.code).toBe(EXIT.files);
    expect(refused.err).toMatch(
      /art\.pdf is there already, and Panelwright did not write it .* Nothing was written/,
    );
    expect(readFileSync(at('art.pdf')).equals(artwork)).toBe(true);
  });

  it('report says in one sentence where it cannot write', async () => {
    const ran = await run(
      'report',
      at('job.json'),
      '--artwork',
      at('art.pdf'),
      '--to',
      at('art.pdf', 'report.pdf'),
    );
    expect(ran.code).not.toBe(EXIT.done);
    expect(ran.err.trim().split('\n')).toHaveLength(1);
  });
});

import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PDFDocument, PDFName } from 'pdf-lib';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { describe, expect, it } from 'vitest';
import { marksLayer } from '../../../../core/cut/marks/marks-layer.ts';
import { panelMarks } from '../../../../core/cut/marks/panel-marks.ts';
import { jobLayout } from '../../../../core/layout/side-layout.ts';
import { describeWithTools, runTool } from '../../../support/tools.ts';
import { bookmobileJob, testFonts } from '../../sheets/fixture.ts';

const fonts = testFonts();
const SHOWN = '5f3a90c1';
const job = bookmobileJob();
const [layout] = jobLayout(job);
const panel = layout!.panels[2]!;
const marks = panelMarks(job, layout!, panel, SHOWN, fonts);

/** The marks alone on a page the size of the film, in mm as user space. */
async function marksPage(): Promise<{ bytes: Uint8Array; operators: string }> {
  const doc = await PDFDocument.create({ updateMetadata: false });
  const layer = marksLayer(marks, fonts);
  const film = { widthMm: panel.film.width, heightMm: panel.film.height };
  const { operators, resources } = layer.draw(doc.context, film);
  const page = doc.addPage([film.widthMm, film.heightMm]);
  page.node.set(PDFName.of('Resources'), resources);
  const stream = doc.context.flateStream(operators);
  page.node.set(PDFName.of('Contents'), doc.context.register(stream));
  return { bytes: await doc.save(), operators: String(operators) };
}

describe('layer of marks', () => {
  it('MK8 paints black of the K plate alone, with no picture, transparency or overprint', async () => {
    const { operators } = await marksPage();
    const painting = operators
      .split('\n')
      .filter((line) => /(?:^| )(?:k|K|g|G|rg|RG|cs|CS|sc|SC|scn|SCN|gs|Do|sh)$/.test(line));
    expect(painting.length).toBeGreaterThan(10);
    for (const line of painting) expect(line).toMatch(/^0 0 0 1 [kK]$/);
  });

  it('MK8 can be read back by an independent reader', async () => {
    const { bytes } = await marksPage();
    const doc = await getDocument({ data: bytes, useSystemFonts: false }).promise;
    const content = await (await doc.getPage(1)).getTextContent();
    const text = content.items.map((item) => ('str' in item ? item.str : '')).join('\n');
    expect(text).toContain(panel.label);
    expect(text).toContain('install 3 of 6 · Left side');
    expect(text).toContain('Job ACL-2611 · Bookmobile 2026');
    expect(text).toContain('THIS GOES OVER LH-01');
  });

  it('MK8 gives the same bytes for the same marks', async () => {
    expect((await marksPage()).bytes).toEqual((await marksPage()).bytes);
  });
});

describeWithTools(['qpdf', 'pdftoppm'], 'layer of marks, outside', () => {
  it('leaves the printed area untouched when it is rendered', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'marks-'));
    const file = join(folder, 'marks.pdf');
    writeFileSync(file, (await marksPage()).bytes);
    runTool('qpdf', ['--check', file]);
    // One user space unit stands for 1 mm here, so 72 ppi gives one pixel per millimeter of film.
    const pgm = runTool('pdftoppm', ['-r', '72', '-gray', file]);
    const header = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(pgm.subarray(0, 40).toString('latin1'))!;
    const [width, height] = [Number(header[1]), Number(header[2])];
    const pixels = pgm.subarray(header[0].length);
    expect([width, height]).toEqual([Math.ceil(panel.film.width), Math.ceil(panel.film.height)]);
    const inner = { x: panel.printed.x - panel.film.x, y: panel.printed.y - panel.film.y };
    let darkInside = 0;
    let darkOutside = 0;
    for (let y = 0; y < height; y += 1) {
      for (let x = 0; x < width; x += 1) {
        if (pixels[y * width + x]! > 200) continue;
        const isInside =
          x >= inner.x &&
          y >= inner.y &&
          x < inner.x + panel.printed.width - 1 &&
          y < inner.y + panel.printed.height - 1;
        if (isInside) darkInside += 1;
        else darkOutside += 1;
      }
    }
    expect(darkInside).toBe(0);
    expect(darkOutside).toBeGreaterThan(1000);
  });
});

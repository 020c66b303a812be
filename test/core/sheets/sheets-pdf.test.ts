import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateSync } from 'node:zlib';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { describe, expect, it } from 'vitest';
import type { RasterPicture } from '../../../core/drawing/drawing.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { INSTALL_MAP, installMap } from '../../../core/sheets/install-map.ts';
import type { SheetSizeName } from '../../../core/sheets/sheet-size.ts';
import { sheetsPdf } from '../../../core/sheets/sheets-pdf.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';
import { bookmobileJob, testFonts, trailerJob } from './fixture.ts';

/** A slanted gradient, darker to the lower right, so that turned or mirrored pictures show. */
function gradient(side: Side): RasterPicture {
  const widthPx = 90;
  const heightPx = Math.round((90 * side.artworkRect.heightMm) / side.artworkRect.widthMm);
  const rgb = new Uint8Array(widthPx * heightPx * 3);
  for (let i = 0; i < rgb.length; i += 3) {
    const x = (i / 3) % widthPx;
    const y = Math.floor(i / 3 / widthPx);
    rgb.fill(255 - Math.round((255 * (x + 2 * y)) / (widthPx + 2 * heightPx)), i, i + 3);
  }
  return { widthPx, heightPx, rgb };
}

async function mapPdf(job: Job, sheet: SheetSizeName): Promise<Uint8Array> {
  const fonts = testFonts();
  const sheets = installMap(job, jobLayout(job), { fonts, sheet, artworkPicture: gradient });
  return sheetsPdf(job, sheets, { documentType: INSTALL_MAP, sha256: '8c'.repeat(32) }, fonts, deflateSync);
}

async function readBack(bytes: Uint8Array): Promise<{ size: number[]; text: string }[]> {
  const doc = await getDocument({ data: bytes.slice(), useSystemFonts: false }).promise;
  const pages: { size: number[]; text: string }[] = [];
  for (let number = 1; number <= doc.numPages; number += 1) {
    const page = await doc.getPage(number);
    const [x0, y0, x1, y1] = page.view as [number, number, number, number];
    const { items } = await page.getTextContent();
    pages.push({
      size: [x1 - x0, y1 - y0],
      text: items.map((item) => ('str' in item ? item.str : '')).join('\n'),
    });
  }
  return pages;
}

/** In points, long edge across. A4 and A3: ISO 216, clause 4 (210 × 297, 297 × 420 mm). Letter and Tabloid: ANSI/ASME Y14.1, sizes A and B (8.5 × 11, 11 × 17 in). */
const PAGE_POINTS: Readonly<Record<SheetSizeName, readonly [number, number]>> = {
  A4: [841.89, 595.276],
  A3: [1190.551, 841.89],
  Letter: [792, 612],
  Tabloid: [1224, 792],
};

describe('sheets as PDF', () => {
  for (const sheet of ['A4', 'A3', 'Letter', 'Tabloid'] as const) {
    it(`has pages of the standard's size: ${sheet}`, async () => {
      const pages = await readBack(await mapPdf(trailerJob(1), sheet));
      for (const { size } of pages) {
        expect(size[0]).toBeCloseTo(PAGE_POINTS[sheet][0], 2);
        expect(size[1]).toBeCloseTo(PAGE_POINTS[sheet][1], 2);
      }
    });
  }

  it('can be read back by an independent reader, also right to left and beyond Latin', async () => {
    const customer = 'Бібліотека ספרייה 図 Łódź';
    const pages = await readBack(await mapPdf(bookmobileJob({ customer }), 'A3'));
    const text = pages.map((page) => page.text).join('\n');
    expect(text).toContain('Bookmobile 2026');
    expect(text).toContain('SCALE 1:20');
    expect(text).toContain('4 over 3');
    expect(text).toContain('Бібліотека');
    expect(text).toContain('Łódź');
    // A reader gives the letters of a right-to-left word back in reading order.
    expect(text).toContain('ספרייה');
    expect(text).toContain('□');
  });

  it('gives the same bytes for the same job, and others for another', async () => {
    const first = await mapPdf(bookmobileJob(), 'A4');
    expect(await mapPdf(bookmobileJob(), 'A4')).toEqual(first);
    expect(await mapPdf(bookmobileJob({ name: 'Bookmobile 2027' }), 'A4')).not.toEqual(first);
  });
});

describeWithTools(['qpdf', 'pdftoppm', 'mutool'], 'sheets as PDF, outside', () => {
  const folder = mkdtempSync(join(tmpdir(), 'sheets-'));

  it('passes qpdf --check and is read back by mutool', async () => {
    const file = join(folder, 'map.pdf');
    writeFileSync(file, await mapPdf(bookmobileJob(), 'A3'));
    runTool('qpdf', ['--check', file]);
    const text = runTool('mutool', ['draw', '-q', '-F', 'txt', file]).toString('utf8');
    expect(text).toContain('ACL-2611');
    expect(text).toContain('1310 from the front');
  });

  it('shows the artwork upright and lightened under the lines', async () => {
    const file = join(folder, 'picture.pdf');
    const job = bookmobileJob();
    writeFileSync(file, await mapPdf(job, 'A3'));
    const fonts = testFonts();
    const pages = installMap(job, jobLayout(job), { fonts, sheet: 'A3', artworkPicture: gradient });
    const index = pages.findIndex(({ title }) => title.startsWith('LH'));
    const page = pages[index]!;
    const outline = page.items.find(({ tag }) => tag === 'outline');
    if (outline?.kind !== 'rect') throw new Error('the page shows no side');
    const ppi = 50.8;
    const pgm = runTool('pdftoppm', [
      '-r',
      String(ppi),
      '-gray',
      '-f',
      String(index + 1),
      '-l',
      String(index + 1),
      file,
    ]);
    const header = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(pgm.subarray(0, 40).toString('latin1'))!;
    const grayAt = (xMm: number, yMm: number) =>
      pgm[header[0].length + Math.round(yMm * 2) * Number(header[1]) + Math.round(xMm * 2)]!;
    const { x, y, width, height } = outline.rect;
    const left = grayAt(x + width * 0.3, y + height * 0.3);
    const right = grayAt(x + width * 0.75, y + height * 0.3);
    const bottomRight = grayAt(x + width * 0.97, y + height * 0.97);
    expect(left).toBeGreaterThan(right);
    expect(right).toBeGreaterThan(bottomRight);
    // Black artwork becomes a mid gray at most, so that black lines stand out on it.
    expect(bottomRight).toBeGreaterThan(110);
  });
});

import { describe, expect, it } from 'vitest';
import { artworkChecks } from '../../../core/checks/findings/artwork-checks.ts';
import { checkReportSheets } from '../../../core/checks/report/check-report.ts';
import { acknowledgementOf } from '../../../core/findings/layout/findings.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { SHEET_SIZES, type SheetSizeName } from '../../../core/sheets/sheet-size.ts';
import { testFonts } from '../sheets/fixture.ts';
import { expectTidySheet, itemsOutside, textsOf } from '../sheets/sheet-checks.ts';
import { drawn, imageStream, jobOnPage, pageInMm, scanOf } from './check-support.ts';

const fonts = testFonts();

/** A page with much to find, and a second job that accepted one of the warnings. */
const TROUBLED = pageInMm(
  `0.2 0.1 0.4 0 k 0 0 353 200 re f 0.9 0.7 0.6 0.95 k 60 40 41 23 re f 1 0 0 rg 120 40 30 30 re f
   0 w 130 90 m 190 95 l S ${drawn('Im', 200, 60, 60, 45)} BT /F1 1 Tf 1 0 0 -1 70 120 Tm (Alder County) Tj ET`,
  {
    resources:
      '/XObject << /Im 20 0 R >> /Font << /F1 << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>',
    objects: { 20: imageStream(100, 80, '/DeviceCMYK', new Uint8Array(32_000).fill(90)) },
  },
);

async function reportOf(job: Job, sheet: SheetSizeName = 'A3') {
  const scan = await scanOf(TROUBLED);
  const layouts = jobLayout(job);
  const findings = artworkChecks(job, layouts, scan);
  return { findings, sheets: checkReportSheets(job, layouts, findings, scan, { fonts, sheet }) };
}

describe('the report of the checks', () => {
  it('every finding stands in it once with its number, sentence and remedy', async () => {
    const { findings, sheets } = await reportOf(jobOnPage());
    expect(findings.length).toBeGreaterThan(6);
    const words = sheets
      .map((sheet) =>
        textsOf(sheet)
          .map(({ text }) => text)
          .join(' '),
      )
      .join(' ');
    const plain = (text: string) => text.replaceAll(/\s+/g, '');
    for (const { message, remedy } of findings) {
      expect(plain(words)).toContain(plain(message));
      expect(plain(words)).toContain(plain(remedy));
    }
    expect(words).toContain('6 warnings');
    for (const fact of ['DeviceCMYK', 'NOT EMBEDDED', '4.2 ppi', '75 ppi', '315 %', '300 %']) {
      expect(words).toContain(fact);
    }
  });

  it('frames lie at their places, to the scale that the sheet states', async () => {
    const { findings, sheets } = await reportOf(jobOnPage());
    const page = sheets.find(({ title }) => title.startsWith('LH'))!;
    const oneTo = Number(
      /SCALE 1:(\d+)/.exec(
        textsOf(page)
          .map(({ text }) => text)
          .join(' '),
      )![1],
    );
    const frames = page.items.flatMap((item) =>
      item.tag === 'check picture' && item.kind === 'rect' ? [item.rect] : [],
    );
    // The bleed, then the outline of 3000 × 1200 mm, then a frame for each finding that has a place.
    const [, outline, ...places] = frames;
    expect([outline!.width * oneTo, outline!.height * oneTo].map(Math.round)).toEqual([3000, 1200]);
    const withPlace = findings.flatMap(({ where }) => where.area ?? []);
    expect(places).toHaveLength(withPlace.length);
    for (const [index, area] of withPlace.entries()) {
      const frame = places[index]!;
      expect((frame.x - outline!.x) * oneTo).toBeCloseTo(area.x, 3);
      expect((frame.y - outline!.y) * oneTo).toBeCloseTo(area.y, 3);
      expect(frame.width * oneTo).toBeCloseTo(Math.max(area.width, oneTo), 3);
    }
  });

  it('it is tidy on every sheet size, and says who accepted what', async () => {
    const job = jobOnPage();
    const { findings } = await reportOf(job);
    const accepted = {
      ...job,
      acknowledgements: [acknowledgementOf(findings[0]!, 'Prepress desk', 'agreed')],
    };
    for (const sheet of Object.keys(SHEET_SIZES) as SheetSizeName[]) {
      const { sheets } = await reportOf(accepted, sheet);
      const size = SHEET_SIZES[sheet];
      for (const drawing of sheets) expectTidySheet(drawing, size.marginMm);
      const words = sheets.flatMap((drawing) => textsOf(drawing).map(({ text }) => text)).join(' ');
      expect(words.replaceAll(/\s+/g, ' ')).toMatch(/acknowledged by Prepress/);
      expect(itemsOutside(sheets[0]!, { x: 0, y: 0, width: size.widthMm, height: size.heightMm })).toEqual(
        [],
      );
    }
  });

  it('a job in which nothing is found says so', async () => {
    const scan = await scanOf(pageInMm('0.2 0.1 0.4 0 k 0 0 400 200 re f'));
    const job = jobOnPage();
    const layouts = jobLayout(job);
    expect(artworkChecks(job, layouts, scan)).toEqual([]);
    const sheets = checkReportSheets(job, layouts, [], scan, { fonts });
    expect(sheets.map(({ title }) => title)).toEqual([
      'Artwork report: 0 stops, 0 warnings, 0 notes',
      'LH Left side: nothing found',
    ]);
  });
});

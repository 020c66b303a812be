import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateSync } from 'node:zlib';
import { afterAll, expect, it } from 'vitest';
import { CAP_HEIGHT } from '../../../core/drawing/drawing.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { checkInSheet } from '../../../core/sheets/check-in-sheet.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import type { Sheet } from '../../../core/sheets/page-frame.ts';
import { SHEET_SIZES, type SheetSizeName } from '../../../core/sheets/sheet-size.ts';
import { sheetsPdf } from '../../../core/sheets/sheets-pdf.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';
import { bookmobileJob, panelRegion, sideOf, TRIED_SIZES, testFonts } from './fixture.ts';
import { expectTidySheet, textsOf } from './sheet-checks.ts';

const fonts = testFonts();
const folder = mkdtempSync(join(tmpdir(), 'panelwright-crew-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** Inches and sixteenths as a tape reads them, written for this test alone. */
function tape(mm: number): string {
  const sixteenths = Math.round((mm / 25.4) * 16);
  const [whole, rest] = [Math.floor(sixteenths / 16), sixteenths % 16];
  if (rest === 0) return String(whole);
  const divisor = [8, 4, 2, 1].find((each) => rest % each === 0)!;
  const fraction = `${rest / divisor}/${16 / divisor}`;
  return whole === 0 ? fraction : `${whole} ${fraction}`;
}

const BAYS = 18;
const [WIDTH, HEIGHT] = [13_680, 2590];
const BELT = 1403;
/** Upright seams, no two bays alike. */
const SEAMS = Array.from({ length: BAYS - 1 }, (_, i) => 700 + 755 * i + ((i * 37) % 61));

/** 36 panels in inches: 18 bays of a lower and an upper panel, the front at the left, forward over rear, upper over lower. */
const side36: Side = {
  ...sideOf('DS', 'Driver side', { width: WIDTH, height: HEIGHT }),
  front: 'left',
  layout: {
    kind: 'split',
    seams: 'vertical',
    joints: SEAMS.map((atMm, i) => ({
      id: `bay-${i}`,
      kind: 'lap',
      atMm,
      firstMm: 12.7,
      secondMm: 12.7,
      top: 'first',
    })),
    parts: Array.from({ length: BAYS }, (_, i) => ({
      kind: 'split' as const,
      seams: 'horizontal' as const,
      joints: [
        {
          id: `belt-${i}`,
          kind: 'lap' as const,
          atMm: BELT,
          firstMm: 12.7,
          secondMm: 12.7,
          top: 'first' as const,
        },
      ],
      parts: [panelRegion(`upper-${i}`), panelRegion(`lower-${i}`)],
    })),
  },
};
const job36: Job = bookmobileJob({ displayUnit: 'in', sides: [side36], number: 'HFT-36' });

async function written(name: string, job: Job, sheets: readonly Sheet[]): Promise<string> {
  const file = join(folder, name);
  const facts = { documentType: 'Install map', sha256: '3d'.repeat(32) };
  writeFileSync(file, await sheetsPdf(job, sheets, facts, fonts, deflateSync));
  return file;
}

const words = (text: string) => text.replaceAll(/\s+/g, ' ');

/** Text within a rectangle of a page, as poppler reads it. */
function textWithin(
  file: string,
  page: number,
  rect: { x: number; y: number; width: number; height: number },
) {
  const px = (mm: number) => String(Math.round((mm / 25.4) * 144));
  const crop = ['-x', px(rect.x), '-y', px(rect.y), '-W', px(rect.width), '-H', px(rect.height)];
  const pages = ['-f', String(page), '-l', String(page)];
  return words(runTool('pdftotext', ['-r', '144', ...pages, ...crop, file, '-']).toString('utf8'));
}

const textOf = (file: string): string => words(runTool('pdftotext', ['-layout', file, '-']).toString('utf8'));

describeWithTools(['pdftotext'], 'sheets for the crew, read by an outside tool', () => {
  for (const sheet of ['Tabloid', 'Letter'] as const) {
    it(`has a card per panel of 36, in install order, in inches on ${sheet}`, async () => {
      const sheets = installMap(job36, jobLayout(job36), { fonts, sheet });
      const file = await written(`cards-${sheet}.pdf`, job36, sheets);
      const [columns, rows] = sheet === 'Tabloid' ? [3, 2] : [2, 2];
      const first = sheets.findIndex(({ title }) => title.includes('cards'));
      expect(sheets.filter(({ title }) => title.includes('cards'))).toHaveLength(36 / (columns * rows));
      // Between the head (15 mm and 3 of space) and the title block (24 and 3).
      const { widthMm, heightMm, marginMm } = SHEET_SIZES[sheet];
      const body = { y: marginMm + 18, height: heightMm - 2 * marginMm - 18 - 27 };
      const width = (widthMm - 2 * marginMm - 4 * (columns - 1)) / columns;
      const height = (body.height - 4 * (rows - 1)) / rows;
      for (let number = 1; number <= 36; number += 1) {
        const place = (number - 1) % (columns * rows);
        const text = textWithin(file, first + 1 + Math.floor((number - 1) / (columns * rows)), {
          x: marginMm + (place % columns) * (width + 4),
          y: body.y + Math.floor(place / columns) * (height + 4),
          width,
          height,
        });
        // From the rear forward, the lower one first.
        const bay = BAYS - Math.ceil(number / 2);
        const isUpper = number % 2 === 0;
        expect(text).toContain(`DS-${String(number).padStart(2, '0')}`);
        expect(text).toContain(`install ${number} of 36`);
        const over = [...(isUpper ? [number - 1] : []), ...(bay < BAYS - 1 ? [number - 2] : [])].toSorted(
          (a, b) => a - b,
        );
        const under = [...(isUpper ? [] : [number + 1]), ...(bay > 0 ? [number + 2] : [])].toSorted(
          (a, b) => a - b,
        );
        if (over.length > 0) expect(text).toContain(`over ${over.join(', ')}`);
        if (under.length > 0) expect(text).toContain(`under ${under.join(', ')}`);
        const count = (word: string) => text.split(word).length - 1;
        expect(count('TRIM')).toBe(over.length);
        expect(count('COVERED')).toBe(under.length);
        expect(count('TUCK')).toBe(4 - over.length - under.length);
        const shows = (caption: string, mm: number) => {
          expect(text).toContain(caption);
          expect(text).toMatch(new RegExp(`(^| )${tape(mm)}( |$)`));
        };
        if (isUpper) shows('bottom edge, from bottom', HEIGHT - BELT);
        if (bay < BAYS - 1) {
          const seam = SEAMS[bay]!;
          const end = seam <= WIDTH - seam ? 'front' : 'rear';
          shows(`right edge, from ${end}`, Math.min(seam, WIDTH - seam));
        }
        expect(text).toContain('Name');
        expect(text).toContain('Time');
      }
      const figures = sheets.flatMap(textsOf).filter(({ tag }) => /^card \S+ tape figure/.test(tag));
      expect(figures.length).toBe(18 + 17 * 2);
      for (const { sizeMm } of figures) expect(sizeMm * CAP_HEIGHT).toBeGreaterThanOrEqual(7 - 1e-9);
    });
  }

  it('says which way film is pressed, how far it is tucked, and what is post-heated', async () => {
    const job = bookmobileJob();
    const [left, ...others] = job.sides;
    const ground = [
      {
        id: 'g1',
        name: 'Step panel',
        kind: 'recess' as const,
        rect: { xMm: 4100, yMm: 1200, widthMm: 730, heightMm: 310 },
      },
      {
        id: 'g2',
        name: 'Slot',
        kind: 'recess' as const,
        rect: { xMm: 5100, yMm: 1150, widthMm: 120, heightMm: 200 },
        // Two flanks of 75 × 100 mm are 250 mm long: 25 % more than 200, of which the film takes 15.
        depth: {
          along: 'height' as const,
          shape: { kind: 'flat-bottom' as const, depthMm: 75, flankMm: 100 },
        },
      },
    ];
    const heated = {
      ...job,
      sides: [{ ...left!, ground }, ...others],
      sheets: { mapPages: ['heat' as const] },
    };
    const sheets = installMap(heated, jobLayout(heated), { fonts, sheet: 'A3' });
    const text = textOf(await written('heat.pdf', heated, sheets));
    // 7200 − 4100 − 730 from the rear, 2300 − 1200 − 310 up.
    expect(text).toContain('Step panel (recess)');
    expect(text).toContain('2370 rear, 790 up');
    expect(text).toMatch(/730 × .*310/);
    expect(text).toMatch(/feed in .*LH-\d\d 20 \(height\)/);
    expect(text).toContain('25 %');
    expect(text).toContain('________ %');
    expect(text).toContain('left 20, right 15');
    for (const bleed of [40, 55, 60, 50]) expect(text).toContain(` ${bleed} post-heat `);
    expect(text).toContain('A gap of 30 mm is');
    expect(text).toContain(' 15 %.');
    expect(text).toContain('Wash no sooner than ________ after installing');
    const arrows = sheets[0]!.items.filter(({ tag }) => tag === 'pressing');
    // Two for each lying panel (roof, mid-front, skirt; mid-rear), one for each upright one.
    const panels = jobLayout(heated).flatMap((layout) => layout.panels);
    const lying = panels.filter(({ net }) => net.width >= net.height).length;
    expect(arrows).toHaveLength(2 * lying + (panels.length - lying));
  });

  it('CK1 prints the check-in sheet before there is artwork, with drawn values beside blanks', async () => {
    const { artwork: _, ...job } = bookmobileJob();
    const [left, ...others] = job.sides;
    const typed = { ...left!, checkIn: [{ dimensionId: 'door', from: 'left' as const, measuredMm: 1312 }] };
    const before: Job = { ...job, sides: [typed, ...others] };
    const sheets = checkInSheet(before, jobLayout(before), { fonts, sheet: 'A3' });
    const text = textOf(await written('check-in.pdf', before, sheets));
    expect(text).toContain('1 Width, front edge to rear edge 7200 ____________ 12');
    expect(text).toContain('2 Height, top edge to bottom edge 2300 ____________ 12');
    // The gap at 1310 carries a gap seam.
    expect(text).toContain('3 Front edge to Rear edge of cab door 1310 1312 3');
    expect(text).toContain('3 Left edge to Number plate 780 ____________ 12');
    for (const what of ['VIN', 'AL 4471', 'DOT reflective tape', 'dent or scratch', 'repaint', 'Signature'])
      expect(text).toContain(what);
    for (const size of TRIED_SIZES)
      tidy(checkInSheet(before, jobLayout(before), { fonts, sheet: size }), size);
    tidy(checkInSheet(job36, jobLayout(job36), { fonts, sheet: 'Letter' }), 'Letter');
  });
});

function tidy(sheets: readonly Sheet[], size: SheetSizeName): void {
  for (const sheet of sheets) expectTidySheet(sheet, SHEET_SIZES[size].marginMm);
}

import { describe, expect, it } from 'vitest';
import { CAP_HEIGHT } from '../../../core/drawing/drawing.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import type { Sheet } from '../../../core/sheets/page-frame.ts';
import { seamShift } from '../../../core/sheets/seam-shift.ts';
import { REDUCTION_SCALES } from '../../../core/sheets/sheet-scale.ts';
import { SHEET_SIZES, type SheetSizeName } from '../../../core/sheets/sheet-size.ts';
import { bookmobileJob, sideOf, TRIED_SIZES, testFonts, trailerJob } from './fixture.ts';
import { expectTidySheet, textsOf } from './sheet-checks.ts';

const fonts = testFonts();
const mapOf = (job: Job, sheet: SheetSizeName = 'A3'): readonly Sheet[] =>
  installMap(job, jobLayout(job), { fonts, sheet });
const wordsOf = (sheet: Sheet): string =>
  textsOf(sheet)
    .map(({ text }) => text)
    .join('\n');
const allWords = (sheets: readonly Sheet[]): string => sheets.map(wordsOf).join('\n');

const LONG = 'The Honourable Alder County Outreach and Mobile Reading Services Committee '.repeat(14).trim();

/** Names as order forms bring them. */
const hardNames = (name: string): Job => {
  const job = bookmobileJob({ name, customer: name, number: name, notes: name, preparedBy: name });
  return {
    ...job,
    vehicle: { ...job.vehicle, unitNumber: name, licensePlate: name },
    sides: job.sides.map((side) => ({
      ...side,
      name,
      notes: name,
      bodyLines: side.bodyLines.map((line) => ({ ...line, name })),
      noFilmAreas: side.noFilmAreas.map((noFilmArea) => ({ ...noFilmArea, name })),
    })),
  };
};

const JOBS: Readonly<Record<string, Job>> = {
  'two sides': bookmobileJob(),
  'one panel': trailerJob(1),
  'five drops': trailerJob(5),
  '60 drops': trailerJob(60),
  inches: bookmobileJob({ displayUnit: 'in' }),
  '60 drops in inches': trailerJob(60, { displayUnit: 'in' }),
  'names of 1,000 characters': hardNames(LONG),
  'one word of 3,000 characters': hardNames('Bookmobilelibrary'.repeat(180)),
  'right to left': hardNames('ספרייה ניידת של מחוז אלדר (2026) مكتبة متنقلة'),
  'emoji, tabs and control characters': hardNames('📚🚐 Book\u0000mobile\t\u200b\u202e 👩‍🚒\n\n🇺🇳 z̷̧̡̢̛̗̘͎͚̯̹a'),
  'a tall narrow side': bookmobileJob({
    sides: [sideOf('NB', 'Narrow back', { width: 310, height: 2980 })],
  }),
  'a very long side': bookmobileJob({ sides: [sideOf('XL', 'Long side', { width: 16_154, height: 2710 })] }),
  'a very small side': bookmobileJob({ sides: [sideOf('SM', 'Small plate', { width: 83, height: 47 })] }),
  'eleven sides': bookmobileJob({
    sides: Array.from({ length: 11 }, (_, i) =>
      sideOf(`S${i}`, `Side number ${i}`, { width: 900 + 431 * i, height: 700 + 113 * i }),
    ),
  }),
};

describe('install map', () => {
  for (const [name, job] of Object.entries(JOBS)) {
    for (const sheet of TRIED_SIZES) {
      it(`SH1 keeps texts apart and within the margins: ${name} on ${sheet}`, () => {
        const sheets = mapOf(job, sheet);
        for (const page of sheets) {
          expectTidySheet(page, SHEET_SIZES[sheet].marginMm);
          expect([page.widthMm, page.heightMm]).toEqual([
            SHEET_SIZES[sheet].widthMm,
            SHEET_SIZES[sheet].heightMm,
          ]);
        }
      });
    }
  }

  it('SH18 fills the pages of the small sheets: none holds a small rest alone', () => {
    for (const sheet of ['A4', 'Letter'] as const) {
      for (const job of [bookmobileJob(), bookmobileJob({ displayUnit: 'in' }), trailerJob(5)]) {
        const { heightMm } = SHEET_SIZES[sheet];
        const continued = mapOf(job, sheet).filter(({ title }) => title.endsWith('continued'));
        expect(continued.length).toBeGreaterThan(0);
        for (const page of continued) {
          const texts = textsOf(page).filter(({ tag }) => /^(table|list|sign-off)/.test(tag));
          expect(Math.max(...texts.map(({ at }) => at.y))).toBeGreaterThan(heightMm / 3);
        }
      }
    }
  });

  it('SH2 shows every panel number large, and every panel in the table of its side', () => {
    const job = bookmobileJob();
    const sheets = mapOf(job);
    for (const layout of jobLayout(job)) {
      for (const panel of layout.panels) {
        const number = sheets
          .flatMap(textsOf)
          .filter(({ tag, text }) => tag === `number ${panel.label}` && text === String(panel.number));
        expect(number.length).toBeGreaterThan(0);
        // Capitals of 5 mm and more are read from 2 m (about 1/400 of the distance, common practice, no source).
        expect(Math.max(...number.map(({ sizeMm }) => sizeMm))).toBeGreaterThanOrEqual(7);
      }
      const rows = sheets.flatMap(textsOf).filter(({ tag }) => tag.startsWith('table Panels'));
      for (const { label } of layout.panels) expect(rows.map(({ text }) => text)).toContain(label);
    }
  });

  it('SH3 draws at a scale of ISO 5455 and prints it', () => {
    for (const job of Object.values(JOBS)) {
      const designations = mapOf(job)
        .flatMap(textsOf)
        .filter(({ tag }) => tag === 'head scale');
      expect(designations.length).toBeGreaterThan(0);
      for (const { text } of designations) {
        const match = /^SCALE 1:(\d+)$/.exec(text);
        expect(REDUCTION_SCALES).toContain(Number(match?.[1]));
      }
    }
  });

  it('SH3 draws a 16,154 mm side on A3 at 1:50, as 323 mm (ISO 5455)', () => {
    const sheets = mapOf(JOBS['a very long side']!);
    const outline = sheets[0]!.items.find(({ tag }) => tag === 'outline');
    expect(outline?.kind === 'rect' && outline.rect.width).toBeCloseTo(16_154 / 50, 6);
    expect(wordsOf(sheets[0]!)).toContain('SCALE 1:50');
  });

  it('SH4 states both datums of every seam: an edge, and a body line or the far edge', () => {
    const words = allWords(mapOf(bookmobileJob())).replaceAll('\n', ' ');
    expect(words).toContain('640 mm from the front (left) edge');
    expect(words).toContain('670 mm left of the panel gap “Rear edge of cab door”');
    expect(words).toContain('480 mm from the bottom edge');
    expect(words).toContain('30 mm below the rivet row “Skirt rail”');
    expect(words).toContain('S5 1170 · 10 below L1');
  });

  it('SH5 tells by words which panel lies on which', () => {
    const texts = mapOf(bookmobileJob()).flatMap(textsOf);
    const onSeams = texts.filter(({ tag }) => tag.startsWith('seam text')).map(({ text }) => text);
    expect(onSeams).toEqual(
      expect.arrayContaining([
        '6 over 5',
        '4 over 3',
        '4 over 2',
        '3 over 1',
        '2 over 1',
        '3 over 2',
        '1 meets 2',
      ]),
    );
    expect(onSeams).not.toContain('5 over 6');
  });

  it('SH6 carries the fields that ISO 7200 asks for on every page', () => {
    const sheets = mapOf(bookmobileJob());
    for (const [index, sheet] of sheets.entries()) {
      const field = (caption: string) =>
        textsOf(sheet)
          .filter(({ tag }) => tag === `title block ${caption}`)
          .map(({ text }) => text)
          .slice(1)
          .join(' ');
      expect(field('Owner')).toBe('Alder County Library');
      expect(field('Number')).toBe('ACL-2611');
      expect(field('Date of issue')).toBe('2026-11-25');
      expect(field('Sheet')).toBe(`${index + 1} of ${sheets.length}`);
      expect(field('Title')).toContain('Bookmobile 2026');
      expect(field('Creator')).toBe('R. Okafor');
      expect(field('Document type')).toBe('Install map');
      expect(textsOf(sheet).some(({ text }) => text === 'Approval')).toBe(true);
    }
  });

  it('SH7 prints a text that was cut short in full at the end', () => {
    const sheets = mapOf(hardNames(LONG));
    expect(allWords(sheets)).toContain('…');
    const full = sheets
      .flatMap(textsOf)
      .filter(({ tag }) => tag.startsWith('long text'))
      .map(({ text }) => text)
      .join(' ');
    expect(full).toContain(LONG);
  });

  it('SH8 replaces what no font can draw by a box and names it', () => {
    const missing: string[] = [];
    const job = bookmobileJob({ customer: 'Library \u{1F9A4} of \u{2A6A5}' });
    const sheets = installMap(job, jobLayout(job), { fonts: testFonts((c) => missing.push(c)) });
    expect(allWords(sheets)).toContain('Library □ of □');
    expect(new Set(missing)).toEqual(new Set(['\u{1F9A4}', '\u{2A6A5}']));
  });

  it('SH9 has an overview first where there is more than one side, with the same scale for all', () => {
    const [first] = mapOf(bookmobileJob());
    expect(first!.title).toContain('2 sides');
    expect(wordsOf(first!)).toContain('LH Left side');
    expect(wordsOf(first!)).toContain('RR Rear doors');
    const outlines = first!.items.flatMap((item) =>
      item.tag === 'outline' && item.kind === 'rect' ? [item.rect] : [],
    );
    expect(outlines).toHaveLength(2);
    expect(outlines[0]!.width / outlines[1]!.width).toBeCloseTo(7200 / 2080, 6);
    expect(mapOf(trailerJob(3))[0]!.title).not.toContain('sides');
  });

  it('SH10 warns of what must stay free and of dangers, and of conspicuity tape on trailers', () => {
    const van = allWords(mapOf(bookmobileJob())).replaceAll('\n', ' ');
    expect(van).toContain('assistance sensors stay uncovered');
    expect(van).toContain('Blind spot sensor (sensor): keep uncovered');
    expect(van).not.toContain('conspicuity');
    const trailer = trailerJob(3);
    const words = allWords(mapOf({ ...trailer, vehicle: { ...trailer.vehicle, kind: 'trailer' } }));
    expect(words.replaceAll('\n', ' ')).toContain('49 CFR 393.13');
  });

  it('SH12 lists the order of laying in words, with measures and what covers what', () => {
    const words = allWords(mapOf(bookmobileJob())).replaceAll('\n', ' ');
    expect(words).toContain(
      'LH-04 over 3, 2. Bottom edge on S5: 1170 above the bottom edge, 10 below Belt line (L1). Trim there. Left: wrap 15 into the gap at S2. Top and right edges on the outline.',
    );
    expect(words).toContain(
      'LH-05. Right: wrap 20 into the gap at S2. Left: runs 15 past S1, 6 will cover it.',
    );
  });

  it('SH13 says how far each lap may be moved on the vehicle', () => {
    const moves = (seamId: string) => {
      const layout = jobLayout(bookmobileJob())[0]!;
      return seamShift(layout.seams.find(({ id }) => id === seamId)!, 12);
    };
    // Upper panel on top with 4 to spare; the lower one reaches 22 under it, of which 12 must stay.
    expect(moves('belt-seam')).toEqual({ beforeMm: 10, afterMm: 4 });
    expect(moves('door-gap')).toBeUndefined();
    const trailer = jobLayout(trailerJob(3))[0]!.seams[0]!;
    expect(seamShift(trailer, 12)).toEqual({ beforeMm: 20, afterMm: 58 });
    const words = allWords(mapOf(bookmobileJob())).replaceAll('\n', ' ');
    expect(words).toContain('10 up, 4 down');
  });

  it('SH14 follows with larger parts where numbers are small on the whole side, all panels once more', () => {
    const sheets = mapOf(trailerJob(60), 'A4');
    const parts = sheets.filter(({ title }) => title.includes('part'));
    expect(parts.length).toBeGreaterThan(1);
    const shown = new Map<string, number>();
    for (const { tag, sizeMm } of parts.flatMap(textsOf)) {
      if (tag.startsWith('number ')) shown.set(tag, Math.max(shown.get(tag) ?? 0, sizeMm * CAP_HEIGHT));
    }
    expect(shown.size).toBe(60);
    // The next larger scale would take more than 16 pages, so 3.5 mm (ISO 3098) has to do for drops of 100 mm.
    for (const cap of shown.values()) expect(cap).toBeGreaterThanOrEqual(3.5 - 1e-9);
    const seams = parts.flatMap(textsOf).filter(({ tag }) => tag === 'edge label top');
    expect(new Set(seams.map(({ text }) => text.split(' ')[0])).size).toBe(59);
  });

  it('SH10 gives the temperatures of the film as entered, and says where they are from', () => {
    const words = (job: Job) => allWords(mapOf(job)).replaceAll('\n', ' ');
    // Common practice, no source: 71 to 93 °C, set at about 95 °C.
    expect(words(bookmobileJob())).toContain('Form the film at 71 °C to 93 °C; set it afterwards at 95 °C');
    expect(words(bookmobileJob())).toContain('common practice; the data sheet of Cast print film wins');
    expect(words(bookmobileJob({ displayUnit: 'in' }))).toContain('160 °F to 199 °F');
  });

  it('SH16 shows only the side of a reprinted panel, with that panel marked', () => {
    const job = bookmobileJob();
    const sheets = installMap(job, jobLayout(job), { fonts, reprintedIds: ['mid-rear'] });
    expect(sheets[0]!.title).toBe('LH · Left side · REPRINT LH-02');
    expect(sheets.some(({ title }) => title.includes('Rear doors'))).toBe(false);
    const number = (label: string) => textsOf(sheets[0]!).find(({ tag }) => tag === `number ${label}`)!;
    expect(number('LH-02').black).toBe(0);
    expect(number('LH-03').black).toBe(1);
  });

  it('SH2 says when each panel is laid where numbers follow the reading order', () => {
    const job = bookmobileJob();
    const byReading: Job = { ...job, output: { ...job.output, numbering: 'reading-order' } };
    const sheets = mapOf(byReading);
    for (const layout of jobLayout(byReading)) {
      for (const { label, number, order } of layout.panels) {
        const texts = sheets.flatMap(textsOf).filter(({ tag }) => tag === `number ${label}`);
        const says = texts.some(({ text }) => text === `lay ${order}.`);
        expect(says).toBe(number !== order);
      }
    }
  });
});

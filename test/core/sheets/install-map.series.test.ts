import { describe, expect, it } from 'vitest';
import { CAP_HEIGHT } from '../../../core/drawing/drawing.ts';
import type { Job, MapPage } from '../../../core/job/schema.ts';
import { withFirstKind } from '../../../core/job/vehicles.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import type { Sheet } from '../../../core/sheets/page-frame.ts';
import { seamShift } from '../../../core/sheets/seam-shift.ts';
import { REDUCTION_SCALES } from '../../../core/sheets/sheet-scale.ts';
import { SHEET_SIZES, type SheetSizeName } from '../../../core/sheets/sheet-size.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { ShelfFilm } from '../../../core/shop/shelf.ts';
import { bookmobileJob, dropsRegion, sideOf, TRIED_SIZES, testFonts, trailerJob } from './fixture.ts';
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
    vehicles: [{ ...job.vehicles[0]!, units: [{ unitNumber: name, licensePlate: name }] }],
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
      it(`keeps texts apart and within the margins: ${name} on ${sheet}`, () => {
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

  it('fills the pages of the small sheets: none holds a small rest alone', () => {
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

  it('shows every panel number large, and every panel in the table of its side', () => {
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

  it('draws at a scale of ISO 5455 and prints it', () => {
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

  it('draws a 16,154 mm side on A3 at 1:50, as 323 mm (ISO 5455)', () => {
    const sheets = mapOf(JOBS['a very long side']!);
    const side = sheets.find(({ title }) => title.startsWith('XL'))!;
    const outline = side.items.find(({ tag }) => tag === 'outline');
    expect(outline?.kind === 'rect' && outline.rect.width).toBeCloseTo(16_154 / 50, 6);
    expect(wordsOf(side)).toContain('SCALE 1:50');
  });

  it('SH4 gives the near figure of every seam large, and the far edge and a body line as checks', () => {
    const sheets = mapOf(bookmobileJob());
    const words = allWords(sheets).replaceAll('\n', ' ');
    expect(words).toContain('640 from the front edge');
    expect(words).toContain('6560 from rear; 670 left of L3');
    expect(words).toContain('480 from the bottom edge');
    expect(words).toContain('1820 from top; 30 below L2');
    const labels = sheets.flatMap(textsOf).filter(({ tag }) => tag.startsWith('edge label'));
    const at = labels.findIndex(({ text }) => text === '640');
    expect([labels[at - 1]!.text, labels[at + 1]!.text]).toEqual(['S1', 'from front']);
    // Capitals of 5 mm and more are read from 2 m (about 1/400 of the distance, common practice, no source).
    const figures = labels.filter(({ text }) => /^\d+[↓↑]?$/.test(text));
    expect(figures.length).toBeGreaterThan(3);
    for (const { sizeMm } of figures) expect(sizeMm * CAP_HEIGHT).toBeGreaterThanOrEqual(5 - 1e-9);
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

  it('SH5 loses no panel number on page one and no seam text on the sides of small sheets', () => {
    for (const sheet of ['A4', 'Letter'] as const) {
      for (const job of [bookmobileJob(), bookmobileJob({ displayUnit: 'in' }), trailerJob(9)]) {
        const [first, ...others] = mapOf(job, sheet);
        const texts = textsOf(first!);
        for (const layout of jobLayout(job)) {
          const { code } = layout.side;
          const shown = texts
            .filter(({ tag }) => tag.startsWith(`number ${code} `))
            .map(({ text }) => Number(text));
          expect(shown.toSorted((a, b) => a - b)).toEqual(
            layout.panels.map(({ number }) => number).toSorted((a, b) => a - b),
          );
          const page = others.find(({ title }) => title.startsWith(`${code} ·`))!;
          const keys = textsOf(page).filter(
            ({ tag, text }) => tag.startsWith('opening') && /^X\d+$/.test(text),
          );
          expect(keys).toHaveLength(layout.side.noFilmAreas.length);
          const seamTexts = textsOf(page).filter(({ tag }) => tag.startsWith('seam text'));
          // Each stretch along which two panels meet.
          const meetings = layout.panels.flatMap((panel) =>
            Object.values(panel.edges).flatMap((edge) => (edge.kind === 'seam' ? edge.neighbors : [])),
          );
          expect(seamTexts).toHaveLength(meetings.length / 2);
        }
      }
    }
  });

  it('carries the fields that ISO 7200 asks for on every page', () => {
    const shop = { name: 'County Print Shop', address: '12 Depot Road', phone: '555-0100' };
    const job = bookmobileJob({ shop });
    const sheets = installMap(job, jobLayout(job), { fonts, sheet: 'A3', revision: '3f9ac1' });
    for (const [index, sheet] of sheets.entries()) {
      const field = (caption: string) =>
        textsOf(sheet)
          .filter(({ tag }) => tag === `title block ${caption}`)
          .map(({ text }) => text)
          .slice(1)
          .join(' ');
      // The shop issues the sheet; whose vehicle it is stands beside it.
      expect(field('Owner')).toBe('County Print Shop, 12 Depot Road, 555-0100');
      expect(field('Customer')).toBe('Alder County Library');
      expect(field('Layout')).toBe('3f9ac1');
      expect(field('Number')).toBe('ACL-2611');
      expect(field('Date of issue')).toBe('2026-11-25');
      expect(field('Sheet')).toBe(`${index + 1} of ${sheets.length}`);
      expect(field('Title')).toContain('Bookmobile 2026');
      expect(field('Creator')).toBe('R. Okafor');
      expect(field('Document type')).toBe('Install map');
      expect(textsOf(sheet).some(({ text }) => text === 'Approval')).toBe(true);
    }
  });

  it('prints a text that was cut short in full at the end', () => {
    const sheets = mapOf(hardNames(LONG));
    expect(allWords(sheets)).toContain('…');
    const full = sheets
      .flatMap(textsOf)
      .filter(({ tag }) => tag.startsWith('long text'))
      .map(({ text }) => text)
      .join(' ');
    expect(full).toContain(LONG);
  });

  it('replaces what no font can draw by a box and names it', () => {
    const missing: string[] = [];
    const job = bookmobileJob({ customer: 'Library \u{1F9A4} of \u{2A6A5}' });
    const sheets = installMap(job, jobLayout(job), { fonts: testFonts((c) => missing.push(c)) });
    expect(allWords(sheets)).toContain('Library □ of □');
    expect(new Set(missing)).toEqual(new Set(['\u{1F9A4}', '\u{2A6A5}']));
  });

  it('SH9 has page one for the crew: sides in install order in color, what to tape, how panels lie, whom to call', () => {
    const shop = { name: 'County Print Shop', address: '', phone: '555-0100' };
    const [first, ...others] = mapOf(bookmobileJob({ shop }));
    expect(first!.title).toBe('Step van, walk-in body · AL 4471 · 2 sides · 8 panels');
    const outlines = first!.items.flatMap((item) =>
      item.tag === 'outline' && item.kind === 'rect' ? [item.rect] : [],
    );
    expect(outlines).toHaveLength(2);
    // The rear comes first, the side that wraps its corner later.
    expect(outlines[1]!.width / outlines[0]!.width).toBeCloseTo(7200 / 2080, 6);
    const words = wordsOf(first!).replaceAll('\n', ' ');
    expect(words).toMatch(
      /1 RR Rear doors 2 \d \d+(\.5)? h 2080 × 2250 2 LH Left side 6 \d \d+(\.5)? h 7200 × 2300/,
    );
    expect(words).toContain('the side that you install later lies on top');
    // Gap seams at 1310, in a gap: 3 mm. Nothing stands between the figure and its blank.
    expect(words).toContain('LH Front edge to Rear edge of cab door 1310 ____________ 3');
    expect(words).toContain('LH X4 Blind spot sensor 170 rear, 130 up');
    // Laps of 15 (10 + 15 printed, 10 trimmed), 22, 18 and 30 (5 + 30, 5 trimmed).
    expect(words).toContain(
      'Forward over rear, upper over lower, leave 12 to 30 mm covered, trim over cutting tape, white border off first.',
    );
    expect(words).toContain('Count the panels before you begin: 8 are to be here.');
    expect(words).toContain('Stop and call County Print Shop, 555-0100.');
    expect(words).toContain('Film: Cast print film, lot ________');
    expect(words).toMatch(
      /Not before ________________: the last panel came off the printer at ________________ \+ 72 h/,
    );
    // Dangers and what an office looks up come last.
    expect(others.at(-1)!.title).toContain('Cautions');
    expect(words).not.toContain('closed metal container');
  });

  it('SH9 says per side how panels lie where it is not true for all', () => {
    const job = bookmobileJob();
    const [left, rear] = job.sides;
    const side = { ...rear!, layout: dropsRegion('rear', 2080, 2, () => ({ top: 'first' })) };
    const words = wordsOf(mapOf({ ...job, sides: [left!, side] })[0]!).replaceAll('\n', ' ');
    expect(words).toContain('Upper over lower, trim over cutting tape, white border off first.');
    expect(words).toContain('RR: left over right, leave 25 mm covered.');
    expect(words).toContain('LH: forward over rear, leave 12 to 30 mm covered.');
  });

  it('prints the kinds of page that the job has ticked', () => {
    const titles = (mapPages: MapPage[]) =>
      mapOf(bookmobileJob({ sheets: { mapPages, panelCards: 'never' } })).map(({ title }) => title);
    expect(titles(['wall']).length).toBe(1);
    expect(titles(['sides']).every((title) => /^(RR|LH)/.test(title))).toBe(true);
    expect(titles(['heat', 'cautions'])).toEqual([
      'Heat and pressing plan',
      'Cautions, tools and panel sizes',
    ]);
    // A map of one side says itself what holds for every panel.
    const alone = allWords(mapOf(bookmobileJob({ sheets: { mapPages: ['sides'] } }))).replaceAll('\n', ' ');
    expect(alone).toContain('Tape this before you peel');
    expect(alone).toContain('Cut the white border off');
  });

  it('shows every side with its panels on the wall page, however small the side is', () => {
    const sheets = { mapPages: ['wall' as const] };
    const small = bookmobileJob({
      sheets,
      sides: [sideOf('QS', 'Quarter side', { width: 900, height: 700 })],
    });
    for (const job of [small, bookmobileJob({ sheets }), trailerJob(5, { sheets })]) {
      for (const sheet of Object.keys(SHEET_SIZES) as SheetSizeName[]) {
        const [page, ...others] = mapOf(job, sheet);
        expect(others).toEqual([]);
        const layouts = jobLayout(job);
        for (const { side } of layouts)
          expect(wordsOf(page!)).toMatch(new RegExp(`\\d\\. ${side.code} ${side.name}`));
        const numbers = textsOf(page!).filter(({ tag }) => tag.startsWith('number '));
        expect(numbers).toHaveLength(layouts.flatMap(({ panels }) => panels).length);
      }
    }
  });

  it('warns of what must stay free and of dangers, and of DOT reflective tape on trailers', () => {
    const van = allWords(mapOf(bookmobileJob())).replaceAll('\n', ' ');
    expect(van).toContain('assistance sensors stay uncovered');
    expect(van).toContain('Blind spot sensor LEAVE BARE 170 rear 130 180 × 110 15');
    expect(van).toContain('X4 no film and no laminate');
    expect(van).not.toContain('DOT reflective tape stays whole');
    expect(van).toContain('49 CFR 390.21');
    expect(van).toContain('Airbag covers, side sensors, live wiring');
    const trailer = trailerJob(3);
    const words = allWords(mapOf(withFirstKind(trailer, 'trailer')));
    expect(words.replaceAll('\n', ' ')).toContain('49 CFR 393.13');
    expect(words.replaceAll('\n', ' ')).toContain('DOT reflective tape stays whole');
    expect(words).not.toContain('390.21');
  });

  it('SH12 lists the install order in words, one line for each act', () => {
    const sheets = mapOf(bookmobileJob());
    const lines = sheets.flatMap(textsOf).filter(({ tag }) => tag === 'list Install in this order');
    const words = lines.map(({ text }) => text).join(' ');
    // Printed 26 with 4 to trim: 22 stay. The gap carries 15 of the body.
    expect(words).toContain(
      'LH-04, over 3, 2 · 3 people Set the bottom edge on S5: 1130 from the top edge, 10 below Belt line (L1). Check 1170 from the bottom edge. Trim the bottom edge on S5, over cutting tape. 22 stays covered. Wrap 15 of the left edge into the gap at S2. Bleed: 40 at the top, 55 at the right.',
    );
    expect(words).toContain(
      'LH-05 Wrap 20 of the right edge into the gap at S2. Leave 15 past S1 at the left: 6 covers it.',
    );
    expect(words).not.toContain('shift');
    expect(allWords(sheets).replaceAll('\n', ' ')).toContain(
      'Cut the white border off every edge that is covered',
    );
  });

  it('SH12 orders tools for the trims of the job, and no free blade over paint', () => {
    const words = (job: Job) => allWords(mapOf(job)).replaceAll('\n', ' ');
    const taped = words(bookmobileJob());
    expect(taped).toContain('Cutting tape, laid before the film');
    expect(taped).toContain(
      'Never cut into paint, glass or seals: trim over cutting tape, in a gap or on an edge.',
    );
    const job = bookmobileJob();
    const onEdges = words({ ...job, limits: { ...job.limits, seamTrim: 'edge' } });
    expect(onEdges).not.toContain('Cutting tape, laid');
    expect(onEdges).toContain('Trim the bottom edge on S5, on the edge.');
  });

  it('SH12 says what the edges are on the vehicle, with two lengths to measure before anything else', () => {
    const job = bookmobileJob();
    const [left, ...others] = job.sides;
    const named = { ...left!, edgesOnVehicle: { bottom: 'lower edge of the sill' } };
    const words = allWords(mapOf({ ...job, sides: [named, ...others] })).replaceAll('\n', ' ');
    expect(words).toContain('Tape from: bottom edge = lower edge of the sill.');
    expect(words).toContain('LH Width, front edge to rear edge 7200');
    expect(words).toContain('LH Height, top edge to bottom edge 2300');
  });

  it('breaks no line within a length', () => {
    for (const sheet of TRIED_SIZES) {
      for (const job of [bookmobileJob({ displayUnit: 'in' }), trailerJob(5, { displayUnit: 'in' })]) {
        const texts = mapOf(job, sheet).flatMap(textsOf);
        for (const [index, { text, at }] of texts.entries()) {
          // A line that begins with a fraction or a unit is the rest of a length in the line above it.
          const above = texts[index - 1];
          const isContinued = above?.at.x === at.x && above.at.y < at.y && /\d$/.test(above.text);
          if (isContinued) expect(text, `below "${above.text}"`).not.toMatch(/^(?:\d+\/\d+|in|mm|ft)\b/);
        }
      }
    }
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

  it('follows with larger parts where numbers are small on the whole side, all panels once more', () => {
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
    expect(new Set(seams.map(({ text }) => text).filter((text) => /^S\d+$/.test(text))).size).toBe(59);
  });

  it('ends a panel that a part cuts off with a break line of ISO 128, never with the outline', () => {
    // Lying panels far longer than a part is wide.
    const long = sideOf('BR', 'Broad side', { width: 15_200, height: 1240 });
    const joints = Array.from({ length: 11 }, (_, i) => ({
      id: `row-${i}`,
      kind: 'lap' as const,
      atMm: 103 * (i + 1),
      firstMm: 13,
      secondMm: 12,
      top: 'first' as const,
    }));
    const parts = Array.from({ length: 12 }, (_, i) => ({ kind: 'panel' as const, id: `row-${i}` }));
    const layout = { kind: 'split' as const, seams: 'horizontal' as const, joints, parts };
    const sheets = mapOf(bookmobileJob({ sides: [{ ...long, layout }] }), 'A4');
    const cut = sheets.filter(({ title }) => title.includes('part'));
    expect(cut.length).toBeGreaterThan(1);
    for (const [index, { items }] of cut.entries()) {
      const breaks = items.filter((item) => item.tag === 'break line' && item.kind === 'line');
      const zigzags = breaks.filter((item) => item.kind === 'line' && item.from.x !== item.to.x);
      expect(zigzags.length).toBeGreaterThan(0);
      for (const line of breaks) expect(line.kind === 'line' && line.stroke.widthMm).toBeLessThan(0.5);
      // The outline stands at the ends of the side alone.
      const upright = items.filter(
        (item) => item.tag === 'outline' && item.kind === 'line' && item.from.x === item.to.x,
      );
      expect(upright).toHaveLength(index === 0 || index === cut.length - 1 ? 1 : 0);
    }
  });

  it('gives temperatures and stretch as the record of the film has them, else blanks for its data sheet', () => {
    const words = (job: Job) => allWords(mapOf(job)).replaceAll('\n', ' ');
    const blank = '________';
    expect(words(bookmobileJob())).toContain(
      `Form the film at ${blank} °C to ${blank} °C; post-heat it at ${blank} °C (from the data sheet of Cast print film).`,
    );
    const film = ShelfFilm.parse({
      id: 'f1',
      use: 'film',
      name: 'Cast 50',
      kind: 'cast',
      finish: 'gloss',
      thicknessUm: 50,
      adhesive: '',
      serviceYears: 7,
      widthMm: 1524,
      lengthMm: 45_720,
      pricePerM2: 10,
      lotNumber: '',
      stretchLimitPercent: 12,
      heat: { formFromC: 61, formToC: 83, setC: 97 },
    });
    const job = bookmobileJob({ displayUnit: 'in', production: { ...DEFAULT_PRODUCTION, film } });
    // 61, 83 and 97 °C.
    expect(words(job)).toContain(
      'Form the film at 142 °F to 181 °F; post-heat it at 207 °F (as entered for Cast 50).',
    );
    expect(words(job)).toContain('No part of Cast 50 more than 12 % longer than unstretched.');
  });

  it('shows only the side of a reprinted panel, with that panel marked', () => {
    const job = bookmobileJob();
    const sheets = installMap(job, jobLayout(job), { fonts, reprintedIds: ['mid-rear'] });
    // Page one of the crew comes before it.
    const side = sheets.find(({ title }) => title === 'LH · Left side · REPRINT LH-02')!;
    expect(sheets.some(({ title }) => title.includes('Rear doors'))).toBe(false);
    const number = (label: string) => textsOf(side).find(({ tag }) => tag === `number ${label}`)!;
    expect(number('LH-02').black).toBe(0);
    expect(number('LH-03').black).toBe(1);
  });

  it('says when each panel is installed where numbers follow the reading order', () => {
    const job = bookmobileJob();
    const byReading: Job = { ...job, output: { ...job.output, numbering: 'reading-order' } };
    const sheets = mapOf(byReading);
    for (const layout of jobLayout(byReading)) {
      for (const { label, number, order } of layout.panels) {
        const texts = sheets.flatMap(textsOf).filter(({ tag }) => tag === `number ${label}`);
        const says = texts.some(({ text }) => text === `install ${order}`);
        expect(says).toBe(number !== order);
      }
    }
  });
});

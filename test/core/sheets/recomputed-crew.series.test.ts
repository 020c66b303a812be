/**
 * What the map says before and beside its tables (sides, seams in one line, body lines, figures at the picture, hours), the
 * check-in sheet, tubes, RIP scale, waste and the sheets of a reprint, worked out again from the job file by code of the
 * tests alone, for random jobs in both unit systems on all papers; and the code of every page, read by an independent
 * decoder.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { checkInSheet } from '../../../core/sheets/check-in-sheet.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { packingList } from '../../../core/sheets/packing-list.ts';
import type { Sheet } from '../../../core/sheets/page-frame.ts';
import { SHEET_SIZES } from '../../../core/sheets/sheet-size.ts';
import { ticket } from '../../../core/sheets/ticket.ts';
import { seriesRuns } from '../../support/series.ts';
import { decodedCodes } from './decoded-codes.ts';
import { testFonts } from './fixture.ts';
import { type Own, panelsOfJob, read, size } from './recomputed-jobs.ts';
import {
  EDGES,
  ends,
  mapJob,
  type OwnSeam,
  ownSeams,
  seamAt,
  sideSize,
  tapeOf,
  tapeRows,
} from './recomputed-seams.ts';
import { expectTidySheet, textsOf } from './sheet-checks.ts';

const fonts = testFonts();
const OPTIONS = { fonts, hasStamp: true, revision: '4be209', output: { number: 83 } } as const;

/** Texts in the order of drawing, of which those of a table, a list or a label are asked by how their tag begins. */
const wordsOf = (sheets: readonly Sheet[], tag = ''): string =>
  ` ${sheets
    .flatMap(textsOf)
    .filter((text) => text.tag.startsWith(tag))
    .map(({ text }) => text)
    .join(' ')} `;

/** `Forward over rear, upper over lower, leave 12 to 30 mm covered, …`, of one side. */
function seamLine(job: Job, seams: readonly OwnSeam[]): string {
  const side = job.sides[0]!;
  const unit = job.displayUnit;
  const laps = seams.filter(({ joint }) => joint.kind === 'lap');
  const tops = (isVertical: boolean) => [
    ...new Set(laps.filter((seam) => seam.isVertical === isVertical).map(({ joint }) => joint.top)),
  ];
  const [upright, level] = [tops(true), tops(false)];
  const parts: string[] = [];
  if (upright.length > 1) parts.push('upright seams as each step says');
  if (upright.length === 1) {
    const [over, under] =
      upright[0] === 'first' ? (['left', 'right'] as const) : (['right', 'left'] as const);
    if (side.front === 'none') parts.push(`${over} over ${under}`);
    else parts.push(side.front === over ? 'forward over rear' : 'rear over forward');
  }
  if (level.length > 1) parts.push('level seams as each step says');
  if (level.length === 1) parts.push(level[0] === 'first' ? 'upper over lower' : 'lower over upper');
  if (laps.length > 0) {
    const kept = laps.map(({ joint }) => (joint.top === 'first' ? joint.secondMm : joint.firstMm));
    const [least, most] = [Math.min(...kept), Math.max(...kept)].map((mm) => read(mm, unit));
    if (Math.max(...kept) === 0) parts.push('nothing stays covered');
    else parts.push(`leave ${least === most ? '' : `${least} to `}${most} ${unit} covered`);
    parts.push('trim over cutting tape');
  }
  parts.push('white border off first');
  const line = parts.join(', ');
  return `${line.charAt(0).toUpperCase()}${line.slice(1)}.`;
}

/** Every figure beside the pictures, with the seams that it is of: `S5 S6`, `940↓`, or `S1`, `1310`, `front`. */
function figuresBeside(sheets: readonly Sheet[]): { keys: string[]; figure: string; end: string }[] {
  return sheets.flatMap((sheet) => {
    const words = ['top', 'right', 'bottom', 'left']
      .map((edge) => wordsOf([sheet], `edge label ${edge}`))
      .join('');
    const found = words.matchAll(
      /(S\d+(?:[ –]S\d+)*) ((?:\d+ )?\d+(?:\/\d+)?)(?:([↓↑])| from (front|rear|left|right))/g,
    );
    return [...found].map(([, keys, figure, arrow, end]) => ({
      keys: keys!.split(/[ –]/),
      figure: figure!,
      end: arrow ? { '↓': 'top', '↑': 'bottom' }[arrow]! : end!,
    }));
  });
}

/** Two people from 3 m of film, three from 6 m: the card that jobs without one of their own go by. */
const peopleFor = (longestMm: number) => (longestMm > 6000 ? 3 : longestMm > 3000 ? 2 : 1);
const longSide = ({ film }: Own) => Math.max(film.right - film.left, film.bottom - film.top);
const filmM2 = ({ film }: Own) => ((film.right - film.left) * (film.bottom - film.top)) / 1e6;

/** 350 g for each square meter of film with its laminate, 250 g without; 14 kg at most on a tube, or one panel. */
function tubesOf(job: Job, inOrder: readonly Own[]): Own[][] {
  const tubes: Own[][] = [];
  let kg = 0;
  for (const panel of inOrder) {
    const own = filmM2(panel) * (job.laminate ? 0.35 : 0.25);
    if (tubes.length === 0 || kg + own > 14) {
      tubes.push([]);
      kg = 0;
    }
    tubes.at(-1)!.push(panel);
    kg += own;
  }
  return tubes;
}

const count = (panels: number) => (panels === 1 ? '1 panel' : `${panels} panels`);

describe('sheets of the crew worked out again', () => {
  it('have the figures that follow from the job, and codes that say which page they are', async () => {
    await fc.assert(
      fc.asyncProperty(mapJob, async ({ job, paper }) => {
        const unit = job.displayUnit;
        const side = job.sides[0]!;
        const [width, height] = sideSize(job, side);
        const layouts = jobLayout(job);
        const panels = layouts.flatMap((layout) => layout.panels);
        const own = panelsOfJob(job);
        const seams = ownSeams(job, side);
        const sheets = installMap(job, layouts, { ...OPTIONS, sheet: paper });
        for (const sheet of sheets) expectTidySheet(sheet, SHEET_SIZES[paper].marginMm);
        const all = wordsOf(sheets);

        // Page one and the wall.
        const hours = /, (\d+(?:\.5)?) h in all/.exec(all)![1];
        const people = peopleFor(Math.max(...own.map(longSide)));
        const row = new RegExp(
          ` 1 QS (Quarter side )?${own.length} ${people} ${hours} h ${size({ left: 0, top: 0, right: width, bottom: height }, unit)} `,
        );
        expect(wordsOf(sheets, 'table Sides in install order')).toMatch(row);
        expect(all).toContain(` ${seamLine(job, seams)} `);
        const worker = people === 1 ? '1 person' : `${people} people`;
        expect(all).toContain(` ${count(own.length)} · ${worker} · ${hours} h `);

        // Figures beside the pictures: each is that of its seam.
        const beside = figuresBeside(sheets);
        if (seams.length > 0) expect(beside.length).toBeGreaterThan(0);
        for (const { keys, figure, end } of beside) {
          for (const key of keys) {
            const { near } = tapeOf(job, side, seams.find((seam) => seam.key === key)!);
            expect(near).toBe(`${figure} from the ${end} edge`);
          }
        }
        for (const [index, { name, kind, direction, atMm }] of side.bodyLines.entries()) {
          const isVertical = direction === 'vertical';
          const long = isVertical ? width : height;
          const edge = atMm <= long - atMm ? (isVertical ? 'left' : 'top') : isVertical ? 'right' : 'bottom';
          const place = `${read(Math.min(atMm, long - atMm), unit)} from the ${ends(side, edge)} edge`;
          expect(all).toContain(` L${index + 1} ${name} (${kind}), ${place} `);
        }

        const checkIn = checkInSheet(job, layouts, { ...OPTIONS, sheet: paper });
        for (const sheet of checkIn) expectTidySheet(sheet, SHEET_SIZES[paper].marginMm);
        for (const [index, taped] of tapeRows(job, side, seams).entries())
          expect(wordsOf(checkIn)).toContain(` ${index + 1} ${taped.replace(/^QS /, '')} `);

        // What production and packing are told.
        const production = jobProduction(job, layouts);
        const tickets = ticket(job, layouts, production, { ...OPTIONS, sheet: paper, findings: [] });
        const feed = 100 / (1 + job.printer.feedErrorPercent / 100);
        const scale = job.printer.feedErrorPercent === 0 ? '100' : feed.toFixed(2);
        expect(wordsOf(tickets, 'band')).toContain(` 100 × ${scale} % `);
        const dries = / \+ (\d+) h /.exec(wordsOf(tickets, 'band'))![1];
        expect(all).toContain(` + ${dries} h of drying`);
        const captions = tickets
          .flatMap(textsOf)
          .flatMap(({ tag, text }) =>
            tag.startsWith('caption ') ? [/([\d.]+) (m|ft) used · ([\d.]+) %/.exec(text)] : [],
          )
          .filter((found) => found !== null);
        expect(captions.length).toBe(production.plan.uses.length);
        if (captions.length === 1 && production.plan.unplacedPanelIds.length === 0) {
          const [, used, , waste] = captions[0]!;
          // Rounded up to a hundredth of a meter, or a tenth of a foot.
          const [most, step] = unit === 'mm' ? [Number(used) * 1000, 10] : [Number(used) * 304.8, 30.48];
          const shareAt = (mm: number) =>
            100 -
            (100e6 * own.reduce((sum, panel) => sum + filmM2(panel), 0)) / (mm * job.printer.rollWidthMm);
          expect(Number(waste)).toBeLessThanOrEqual(shareAt(most) + 0.051);
          expect(Number(waste)).toBeGreaterThanOrEqual(shareAt(most - step) - 0.051);
        }

        const packed = packingList(job, layouts, { ...OPTIONS, sheet: paper });
        const inOrder = own.toSorted((a, b) => orderOf(panels, a) - orderOf(panels, b));
        const tubes = tubesOf(job, inOrder);
        for (const [index, ofTube] of tubes.entries()) {
          const kg = ofTube.reduce((sum, panel) => sum + filmM2(panel), 0) * (job.laminate ? 0.35 : 0.25);
          const weight = unit === 'mm' ? `${Math.ceil(kg)} kg` : `${Math.ceil(kg * 2.2046226)} lb`;
          const longer = Math.max(
            ...ofTube.map(({ film }) => Math.min(film.right - film.left, film.bottom - film.top)),
          );
          const numbers = ofTube.map((panel) => panels.find(({ id }) => id === panel.id)!.label.slice(3));
          const labels = `QS-${numbers.join(', ')}`;
          expect(wordsOf(packed)).toContain(
            ` ${index + 1} ${labels} ${read(longer, unit)} ${unit} about ${weight} `,
          );
        }

        const pages = [sheets, checkIn, tickets, packed];
        const kinds = ['Install map', 'Check-in sheet', 'Production ticket', 'Packing list'];
        for (const [index, ofKind] of pages.entries()) {
          const codes = (await Promise.all(ofKind.map(decodedCodes))).flat();
          expect(codes).toEqual(
            ofKind.map(
              (_, page) =>
                `Job ${job.number} Output 83 ${kinds[index]} ${page + 1} of ${ofKind.length} Layout 4be209`,
            ),
          );
        }
      }),
      seriesRuns(3, 200),
    );
  }, 1_800_000);

  it('of a reprint have the steps, seams and sizes of its own panels, and say what lies on top of them', () => {
    fc.assert(
      fc.property(mapJob, fc.nat(), ({ job, paper }, drawn) => {
        const unit = job.displayUnit;
        const side = job.sides[0]!;
        const layouts = jobLayout(job);
        const panels = layouts.flatMap((layout) => layout.panels);
        const own = panelsOfJob(job);
        const again = own[drawn % own.length]!;
        const { label, order } = panels.find(({ id }) => id === again.id)!;
        const seams = ownSeams(job, side);
        const sheets = installMap({ ...job, sheets: { panelCards: 'never' } }, layouts, {
          ...OPTIONS,
          sheet: paper,
          reprintedIds: [again.id],
          output: { number: 84, reprint: { of: 83, reason: 'Torn', date: '2026-12-03' } },
        });
        for (const sheet of sheets) expectTidySheet(sheet, SHEET_SIZES[paper].marginMm);
        const all = wordsOf(sheets);
        expect(all).toContain(' Count the panels before you begin: 1 is to be here. ');
        const rows = wordsOf(sheets, 'table Panels of');
        expect(rows).toContain(` ${order} ${label} ${size(again.net, unit)} `);
        expect(rows.match(/QS-\d+/g)).toEqual([label]);
        expect(wordsOf(sheets, 'list Install in this order').match(/QS-\d+(?! lies?| and)/g)![0]).toBe(label);

        const touching = EDGES.flatMap((edge) => seamAt(seams, again, edge) ?? []);
        const told = wordsOf(sheets, 'table Seams').match(/ S\d+ /g) ?? [];
        expect(new Set(told.map((key) => key.trim()))).toEqual(new Set(touching.map(({ key }) => key)));

        // Edges that lie under a neighbor which stays.
        const covered = EDGES.filter((edge) => {
          const joint = seamAt(seams, again, edge)?.joint;
          const isFirst = edge === 'right' || edge === 'bottom';
          return joint?.kind === 'lap' && (joint.top === 'first') !== isFirst;
        });
        expect(all.match(/ lies? on top at the \w+: lift that edge, or replace/g) ?? []).toHaveLength(
          covered.length,
        );
        for (const edge of covered) expect(all).toMatch(new RegExp(` lies? on top at the ${edge}: `));
      }),
      seriesRuns(3, 200),
    );
  }, 1_800_000);
});

const orderOf = (panels: readonly { id: string; order: number }[], { id }: Own): number =>
  panels.find((panel) => panel.id === id)!.order;

/**
 * Every figure of ticket, packing list, labels and panel borders, worked out again from the job file by code of this file
 * alone, for random jobs in both unit systems on all paper sizes; and every code, read by an independent decoder.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { panelMarks } from '../../../core/cut/marks/panel-marks.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { LABEL_SHEETS } from '../../../core/sheets/label-sheet.ts';
import { packingList } from '../../../core/sheets/packing-list.ts';
import type { Sheet } from '../../../core/sheets/page-frame.ts';
import { panelLabels } from '../../../core/sheets/panel-labels.ts';
import { SHEET_SIZES } from '../../../core/sheets/sheet-size.ts';
import { ticket } from '../../../core/sheets/ticket.ts';
import { seriesRuns } from '../../support/series.ts';
import { decodedCodes } from './decoded-codes.ts';
import { testFonts } from './fixture.ts';
import { type Own, panelsOfJob, randomJob, read, size } from './recomputed-jobs.ts';
import { expectTidySheet, textsOf } from './sheet-checks.ts';

const fonts = testFonts();
const SHOWN = '90c15f3a';
const OUTPUT = { number: 83 };

const said = (sheets: readonly Sheet[]): string[] => sheets.flatMap(textsOf).map(({ text }) => text);
/** Texts on the line of a label in a table. */
function rowOf(sheets: readonly Sheet[], table: string, label: string): string[] {
  for (const sheet of sheets) {
    const texts = textsOf(sheet).filter(({ tag }) => tag.startsWith(`table ${table}`));
    const head = texts.find(({ text }) => text === label);
    if (!head) continue;
    const middle = head.at.y - head.sizeMm * 0.335;
    const line = texts.filter(({ at, sizeMm }) => Math.abs(at.y - sizeMm * 0.335 - middle) < 1.2);
    // Where the sheet has two columns, a line holds a row of each.
    const isShared = line.filter(({ text }) => /^QS-\d+$/.test(text)).length > 1;
    const isRight = head.at.x >= sheet.widthMm / 2;
    return line
      .filter(({ at }) => !isShared || at.x >= sheet.widthMm / 2 === isRight)
      .map(({ text }) => text);
  }
  return [];
}

describe('sheets worked out again', () => {
  it('have the figures that follow from the job, and codes that say the same', async () => {
    await fc.assert(
      fc.asyncProperty(randomJob, async ({ job, paper }) => {
        const unit = job.displayUnit;
        const layouts = jobLayout(job);
        const own = panelsOfJob(job);
        const panels = layouts.flatMap((layout) => layout.panels.map((panel) => ({ layout, panel })));
        expect(panels.map(({ panel }) => panel.id).toSorted()).toEqual(own.map(({ id }) => id).toSorted());
        const production = jobProduction(job, layouts);
        const options = { fonts, sheet: paper, hasStamp: true, output: OUTPUT };
        const tickets = ticket(job, layouts, production, { ...options, findings: [] });
        const packed = packingList(job, layouts, options);
        const labels = panelLabels(job, layouts, {
          fonts,
          sheet: LABEL_SHEETS[unit === 'in' ? 'letter-2x3' : 'a4-2x7'],
          hasStamp: true,
          output: OUTPUT,
        });
        for (const page of [...tickets, ...packed]) expectTidySheet(page, SHEET_SIZES[paper].marginMm);

        const all = own.length === 1 ? '1 panel' : `${own.length} panels`;
        expect(said(tickets)).toContain(`Ticket · ${job.number} · ${all}`);
        expect(said(packed)).toContain(`Packing list · ${job.number} · ${all}`);
        const compensated = 1 / (1 + job.printer.feedErrorPercent / 100);
        const turned = new Set<string>();
        for (const { panel, layout } of panels) {
          const { net, film } = own.find(({ id }) => id === panel.id)!;
          const ofTicket = rowOf(tickets, 'Print in this order', panel.label);
          expect(ofTicket).toContain(size(film, unit));
          const sent = ofTicket.find((text) => /, turned$/.test(text)) ?? '';
          if (sent) turned.add(panel.id);
          const along = sent ? film.right - film.left : film.bottom - film.top;
          expect(ofTicket).toContain(`${read(along * compensated, unit)}${sent ? ', turned' : ''}`);

          const ofPacking = rowOf(packed, panel.label.split('-')[0]!, panel.label);
          expect(ofPacking).toContain(size(film, unit));
          expect(ofPacking).toContain(String(panel.order));
          expect(said(labels)).toContain(`Visible ${size(net, unit)} ${unit}`);
          expect(said(labels)).toContain(`${panel.number} of ${own.length} · ${layout.side.name}`);

          const { drawing, omitted } = panelMarks(job, layout, panel, SHOWN, fonts);
          const border = said([{ ...drawing, title: '' }]).join('\n');
          // The border of a small panel has no room for everything; what is there must be right.
          const isSmall = Math.min(net.right - net.left, net.bottom - net.top) < 700;
          if (omitted.includes('size')) expect(isSmall).toBe(true);
          else expect(border).toContain(`TICK TO TICK ${size(net, unit)}`);
          if (!isSmall) expect(border).toContain(`install ${panel.order} of ${own.length}`);
          const codes = await decodedCodes(drawing);
          if (!isSmall) expect(codes).toHaveLength(2);
          for (const code of codes) expect(code).toBe(`Job ${job.number} Panel ${panel.label} ${SHOWN}`);
        }
        // Tick to tick over the panel that is longest along the film.
        const along = ({ id, net }: Own) => (turned.has(id) ? net.right - net.left : net.bottom - net.top);
        const longest = Math.max(...own.map(along));
        const check = said(tickets)
          .join(' ')
          .match(/tick to tick over the longest panel (\S+): /)!;
        const named = panels.find(({ panel }) => panel.label === check[1])!.panel.id;
        expect(along(own.find(({ id }) => id === named)!)).toBe(longest);

        // A part that lies under is installed before what lies over it.
        const order = (id: string) => panels.find(({ panel }) => panel.id === id)!.panel.order;
        const split = job.sides[0]!.layout;
        if (split.kind === 'split' && split.parts.every(({ kind }) => kind === 'panel')) {
          for (const [index, { kind, top }] of split.joints.entries()) {
            if (kind !== 'lap') continue;
            const [a, b] = [split.parts[index]!, split.parts[index + 1]!] as { id: string }[];
            expect(order(top === 'first' ? a!.id : b!.id)).toBeGreaterThan(
              order(top === 'first' ? b!.id : a!.id),
            );
          }
        }
        const pages = [...tickets, ...packed];
        const codes = (await Promise.all(pages.map(decodedCodes))).flat();
        expect(codes).toHaveLength(pages.length);
        for (const code of codes)
          expect(code).toMatch(/^Job ACL-2611 Output 83 (Production ticket|Packing list) \d+ of \d+$/);
        const labelCodes = (await Promise.all(labels.map(decodedCodes))).flat();
        expect(labelCodes).toEqual(panels.map(({ panel }) => `Job ACL-2611 Panel ${panel.label} Output 83`));
      }),
      seriesRuns(4, 200),
    );
  }, 1_800_000);
});

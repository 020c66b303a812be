import { describe, expect, it } from 'vitest';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { colorStrip } from '../../../core/output/color-strip.ts';
import { type OutputMark, outputFolderName } from '../../../core/output/output-mark.ts';
import { layoutsOfPanels } from '../../../core/output/reprint-layouts.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { productionWithStrip } from '../../../core/production/strip-production.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { LABEL_SHEETS } from '../../../core/sheets/label-sheet.ts';
import { packingList } from '../../../core/sheets/packing-list.ts';
import type { Sheet } from '../../../core/sheets/page-frame.ts';
import { panelLabels } from '../../../core/sheets/panel-labels.ts';
import { SHEET_SIZES, type SheetSizeName } from '../../../core/sheets/sheet-size.ts';
import { ticket } from '../../../core/sheets/ticket.ts';
import { decodedCodes } from './decoded-codes.ts';
import { bookmobileJob, testFonts } from './fixture.ts';
import { expectTidySheet, textsOf } from './sheet-checks.ts';

const fonts = testFonts();
const REASON = 'Scratched by the lift gate';
const output: OutputMark = { number: 12, reprint: { of: 7, reason: REASON, date: '2026-12-03' } };
const AGAIN = ['mid-front', 'skirt'];

const job = (unit: 'mm' | 'in') => bookmobileJob({ displayUnit: unit, notes: '' });

function reprintSheets(unit: 'mm' | 'in', sheet: SheetSizeName): readonly Sheet[] {
  const again = job(unit);
  const layouts = jobLayout(again);
  const ofPanels = layoutsOfPanels(layouts, AGAIN);
  const options = { fonts, sheet, reprintedIds: AGAIN, hasStamp: true, revision: '3f9ac1', output };
  return [
    ...installMap(again, layouts, options),
    ...ticket(again, ofPanels, jobProduction(again, ofPanels), { ...options, findings: [] }),
    ...packingList(again, ofPanels, options),
  ];
}

const said = (sheet: Sheet) => textsOf(sheet).map(({ text }) => text);

describe('the sheets of a reprint', () => {
  for (const unit of ['mm', 'in'] as const) {
    for (const size of Object.keys(SHEET_SIZES) as SheetSizeName[]) {
      it(`RP1 each says REPRINT, which output, why and when, in letters and in its code: ${size}, ${unit}`, async () => {
        const sheets = reprintSheets(unit, size);
        for (const sheet of sheets) {
          expect(said(sheet)).toContain(`REPRINT · Output 12, of Output 7 · 2026-12-03 · ${REASON}`);
          expectTidySheet(sheet, SHEET_SIZES[size].marginMm);
        }
        const codes = (await Promise.all(sheets.map(decodedCodes))).flat();
        expect(codes).toHaveLength(sheets.length);
        for (const code of codes) {
          expect(code).toMatch(
            /^Job ACL-2611 REPRINT Output 12 of 7 2026-12-03 Scratched by the lift ga .* \d+ of \d+ Layout 3f9ac1$/,
          );
        }
      });
    }
  }

  it('names each panel, and has steps for these alone, with what lies on top and must come up first', () => {
    const layouts = jobLayout(job('mm'));
    const panels = layouts.flatMap((layout) => layout.panels);
    const label = (id: string) => panels.find((panel) => panel.id === id)!.label;
    const sheets = reprintSheets('mm', 'A3');
    const texts = sheets.flatMap(said);
    const labels = [label('mid-front'), label('skirt')].toSorted();
    for (const title of sheets.map((sheet) => sheet.title).filter((title) => /^(Ticket|Packing)/.test(title)))
      expect(title).toMatch(
        new RegExp(`REPRINT ${labels[0]}, ${labels[1]}$|REPRINT ${labels[1]}, ${labels[0]}$`),
      );
    expect(texts.join(' ')).not.toMatch(/LH-\d+ to LH-\d+/);
    // Middle front lies under the roof panel, which stays; over the middle rear one and the skirt.
    expect(texts).toContain(`${label('roof')} lies on top at the top: lift that edge, or replace the panel.`);
    // The skirt lies under both middle panels, of which one is made again with it.
    expect(texts).toContain(
      `${label('mid-rear')} lies on top at the top: lift that edge, or replace the panel.`,
    );
    expect(texts.filter((text) => /lies? on top at/.test(text))).toHaveLength(2);
  });

  it('has a page one of its own panels: how many, where no film may be on them, what to tape', () => {
    const [first] = reprintSheets('mm', 'A3');
    const texts = said(first!);
    expect(first!.title).toMatch(/REPRINT LH-\d+, LH-\d+$/);
    expect(texts).toContain('Count the panels before you begin: 2 are to be here.');
    expect(texts.join(' ')).toContain('Tape this before you peel');
    // The rear wheel arch is cut out of the skirt; the cab door window lies on no panel that is made again.
    expect(texts).toContain('X2 Rear wheel arch');
    expect(texts).not.toContain('X1 Cab door window');
    const frames = first!.items.filter(({ tag }) => tag === 'reprinted');
    expect(frames).toHaveLength(2 * AGAIN.length);
  });

  it('lists the sizes of its own panels alone, so that nobody looks for the others', () => {
    const layouts = jobLayout(job('mm'));
    const options = { fonts, sheet: 'A3', reprintedIds: AGAIN, hasStamp: true, output } as const;
    const rows = installMap(job('mm'), layouts, options)
      .flatMap(textsOf)
      .filter(({ tag, text }) => tag.startsWith('table Panels of') && /^LH-\d+$/.test(text))
      .map(({ text }) => text);
    const labels = layouts
      .flatMap(({ panels }) => panels)
      .filter(({ id }) => AGAIN.includes(id))
      .map(({ label }) => label);
    expect(rows).toEqual(labels);
  });

  it('shows what film was used first beside a blank for what is used now', () => {
    const texts = reprintSheets('mm', 'A3').flatMap(said);
    expect(texts.join(' ')).toMatch(/Lot number, roll( number: Output 7)?/);
    expect(texts).toContain('now');
  });

  for (const unit of ['mm', 'in'] as const) {
    it(`RP6 its ticket begins with the color strip, which lies first on the roll with nothing beside it: ${unit}`, () => {
      const again = job(unit);
      const layouts = jobLayout(again);
      const ofPanels = layoutsOfPanels(layouts, AGAIN);
      const strip = colorStrip(again, layouts, new Set(AGAIN))!;
      const neighbor = strip.neighbor!;
      expect(AGAIN).toContain(strip.panel.id);
      expect(AGAIN).not.toContain(neighbor.id);
      const production = productionWithStrip(again, ofPanels, strip, undefined);
      const [first, ...others] = production.plan.placements;
      expect(first!.panelId).toBe(`${again.id}/color-strip`);
      const roll = production.rolls.find(({ id }) => id === first!.rollId)!;
      const depth = first!.turned ? strip.film.width : strip.film.height;
      expect(first!.yMm).toBe(roll.leadInMm);
      for (const other of others.filter(({ rollId }) => rollId === roll.id))
        expect(other.yMm).toBeGreaterThanOrEqual(roll.leadInMm + depth);
      const ofPanel = others.find(({ panelId }) => panelId === `${again.id}/${strip.panel.id}`)!;
      expect(first).toMatchObject({ rollId: ofPanel.rollId, turned: ofPanel.turned });
      expect(production.plan.findings).toEqual([]);

      const options = { fonts, reprintedIds: AGAIN, output, strip, findings: [] };
      const [page] = ticket(again, ofPanels, production, options);
      const texts = said(page!);
      const name = `ACL-2611_00-COLOR-STRIP-${strip.panel.label}.pdf`;
      const size = unit === 'mm' ? /300 × 100|100 × 300/ : /12 × 4|4 × 12/;
      const step = texts.slice(texts.findIndex((text) => text.includes(name))).join(' ');
      expect(step).toMatch(size);
      expect(step).toContain(`Hold it against ${neighbor.label} on the vehicle, in daylight.`);
      expect(texts).toContain(`STRIP ${strip.panel.label}`);
      expect(texts).toContain('Colors match: name, date');
    });
  }

  it('RP1 is told on each label, in letters and in its code', async () => {
    for (const sheet of Object.values(LABEL_SHEETS)) {
      const pages = panelLabels(job('in'), jobLayout(job('in')), {
        fonts,
        sheet,
        panelIds: AGAIN,
        hasStamp: true,
        output,
      });
      const texts = pages.flatMap(said);
      expect(texts.filter((text) => text === 'REPRINT · Output 12, of Output 7 · 2026-12-03')).toHaveLength(
        2,
      );
      expect(texts.filter((text) => text === REASON)).toHaveLength(2);
      for (const code of (await Promise.all(pages.map(decodedCodes))).flat())
        expect(code).toMatch(/^Job ACL-2611 Panel LH-0\d REPRINT Output 12 of 7 2026-12-03 Scratched/);
    }
  });

  it('the number of a first output stands in the title block and in the code', async () => {
    const options = { fonts, sheet: 'Letter', hasStamp: true, output: { number: 31 } } as const;
    const [page] = packingList(job('in'), jobLayout(job('in')), options);
    expect(said(page!)).toContain('31');
    expect(await decodedCodes(page!)).toEqual(['Job ACL-2611 Output 31 Packing list 1 of 1']);
  });

  it('RP1 writes the date as the shop does', () => {
    const american = { ...job('in'), dateOrder: 'month-first' } as const;
    const [page] = packingList(american, jobLayout(american), { fonts, reprintedIds: AGAIN, output });
    expect(said(page!).join(' ')).toContain('REPRINT · Output 12, of Output 7 · Dec 3, 2026 · Scratched');
  });

  it('RP1 lie in a folder that says so, in letters that every system takes', () => {
    expect(outputFolderName(output)).toBe('output-12_REPRINT-of-7_2026-12-03_Scratched-by-the-lift-gate');
    const named = (reason: string) =>
      outputFolderName({ number: 3, reprint: { of: 1, reason, date: '2026-12-03' } });
    expect(named('Ärger: Tür / "Ecke"…')).toBe('output-3_REPRINT-of-1_2026-12-03_Arger-Tur-Ecke');
    expect(named('ספרייה')).toBe('output-3_REPRINT-of-1_2026-12-03');
    expect(outputFolderName({ number: 4 })).toBe('output-4');
  });
});

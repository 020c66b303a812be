import { describe, expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { SheetSettings } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { MOST_TUBE_KG, packedTubes } from '../../../core/production/packed-tubes.ts';
import { LABEL_SHEETS } from '../../../core/sheets/label-sheet.ts';
import { packingList } from '../../../core/sheets/packing-list.ts';
import { panelLabels } from '../../../core/sheets/panel-labels.ts';
import { itemBounds } from '../../support/item-bounds.ts';
import { bookmobileJob, dropsRegion, sideOf, testFonts } from './fixture.ts';
import { textsOf } from './sheet-checks.ts';

const fonts = testFonts();
const OWN_LABELS = {
  sheetWidthMm: 215.9,
  sheetHeightMm: 279.4,
  columns: 3,
  rows: 4,
  labelWidthMm: 68,
  labelHeightMm: 66,
  leftMm: 5,
  topMm: 6,
  pitchXMm: 69,
  pitchYMm: 67,
};

describe('packing', () => {
  it('TK18 winds each side on tubes that one person lifts, the first to be installed outermost', () => {
    const layout = dropsRegion('drop', 16_154, 23, () => ({ firstMm: 70, secondMm: 20 }));
    const long = sideOf('TL', 'Trailer left', { width: 16_154, height: 2710 }, { front: 'right', layout });
    const job: Job = bookmobileJob({ sides: [long] });
    const layouts = jobLayout(job);
    const tubes = packedTubes(job, layouts);
    expect(tubes.length).toBeGreaterThan(1);
    const wound = tubes.flatMap(({ outermostFirst }) => outermostFirst.map(({ order }) => order));
    expect(wound).toEqual(Array.from({ length: 23 }, (_, i) => i + 1));
    // 350 g for each square meter of film and laminate, or 250 g of film alone.
    for (const { outermostFirst, weightKg, widestMm } of tubes) {
      const m2 = outermostFirst.reduce((sum, { film }) => sum + (film.width * film.height) / 1e6, 0);
      expect(weightKg).toBeCloseTo(m2 * (job.laminate ? 0.35 : 0.25), 9);
      expect(weightKg).toBeLessThanOrEqual(MOST_TUBE_KG);
      for (const { film } of outermostFirst)
        expect(Math.min(film.width, film.height)).toBeLessThanOrEqual(widestMm);
    }
    const texts = packingList({ ...job, displayUnit: 'in' }, layouts, { fonts, sheet: 'Letter' }).flatMap(
      textsOf,
    );
    const said = texts.map(({ text }) => text);
    expect(said.join(' ')).toMatch(
      /Tubes: core 3 in or wider, print side out, the first to be installed outermost/,
    );
    expect(said).toContain(`about ${Math.ceil(tubes[0]!.weightKg * 2.2046226)} lb`);
    for (const { number, outermostFirst } of tubes)
      expect(said.filter((text) => text === `Tube ${number}`)).toHaveLength(outermostFirst.length);
  });

  it('keeps labels within what printers reach, also where they lie edge to edge', () => {
    for (const sheet of [...Object.values(LABEL_SHEETS), { ...OWN_LABELS, name: 'own' }]) {
      const pages = panelLabels(bookmobileJob(), jobLayout(bookmobileJob()), {
        fonts,
        sheet,
        hasStamp: true,
      });
      for (const item of pages.flatMap(({ items }) => items)) {
        const { x, y, width, height } = itemBounds(item);
        expect(Math.min(x, y)).toBeGreaterThanOrEqual(5);
        expect(x + width).toBeLessThanOrEqual(sheet.sheetWidthMm - 5);
        expect(y + height).toBeLessThanOrEqual(sheet.sheetHeightMm - 5);
      }
    }
  });

  it('takes the labels that a shop measured, and none that lie on each other or beside the sheet', () => {
    expect(SheetSettings.safeParse({ labels: OWN_LABELS }).success).toBe(true);
    for (const wrong of [{ pitchXMm: 60 }, { pitchYMm: 65.5 }, { leftMm: 12 }, { rows: 5 }])
      expect(SheetSettings.safeParse({ labels: { ...OWN_LABELS, ...wrong } }).success).toBe(false);
  });
});

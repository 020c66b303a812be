import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { rectIntersection } from '../../../core/measure/rect.ts';
import { LABEL_SHEETS, labelRect, labelsPerSheet } from '../../../core/sheets/label-sheet.ts';
import { panelLabels } from '../../../core/sheets/panel-labels.ts';
import { itemBounds } from '../../support/item-bounds.ts';
import { bookmobileJob, testFonts, trailerJob } from './fixture.ts';
import { blurred, rectsRendered } from './raster.ts';
import { isOutside, itemsOutside, overlappingTexts, textsOf } from './sheet-checks.ts';

const fonts = testFonts();

beforeAll(async () => {
  const folder = join(import.meta.dirname, '../../../node_modules/zxing-wasm/dist/reader');
  const wasmBinary = readFileSync(join(folder, 'zxing_reader.wasm'));
  await prepareZXingModule({
    overrides: { wasmBinary: wasmBinary.buffer as ArrayBuffer },
    fireImmediately: true,
  });
});

describe('panel labels', () => {
  for (const sheet of Object.values(LABEL_SHEETS)) {
    it(`keeps each label in its place: ${sheet.name}`, () => {
      const labels = Array.from({ length: labelsPerSheet(sheet) }, (_, i) => labelRect(sheet, i));
      const paper = { x: 0, y: 0, width: sheet.sheetWidthMm, height: sheet.sheetHeightMm };
      expect(labels.filter((label) => isOutside(label, paper))).toEqual([]);
      const shared = labels.flatMap((a, i) => labels.slice(i + 1).map((b) => rectIntersection(a, b)));
      expect(shared.filter((rect) => rect && rect.width > 0.01 && rect.height > 0.01)).toEqual([]);
      for (const job of [
        bookmobileJob(),
        trailerJob(60),
        bookmobileJob({ name: 'x'.repeat(2000), customer: 'ספרייה '.repeat(90), number: '№ 7 '.repeat(200) }),
      ]) {
        const pages = panelLabels(job, jobLayout(job), { fonts, sheet, skip: 3, hasStamp: true });
        const places = Array.from({ length: labelsPerSheet(sheet) }, (_, i) => labelRect(sheet, i));
        for (const page of pages) {
          expect(overlappingTexts(page)).toEqual([]);
          for (const item of page.items) {
            const inside = places.filter(
              (place) => itemsOutside({ ...page, items: [item] }, place).length === 0,
            );
            expect(inside).toHaveLength(1);
          }
          for (const code of page.items.filter(({ kind }) => kind === 'rects')) {
            const label = code.tag.replace(/ code$/, '');
            for (const text of page.items.filter(({ tag }) => tag === label)) {
              const [a, b] = [itemBounds(code), itemBounds(text)];
              const isApart = b.x + b.width <= a.x || b.y >= a.y + a.height || b.y + b.height <= a.y;
              expect(isApart).toBe(true);
            }
          }
        }
      }
    });

    it(`can be read by an independent decoder, black and white at 200 ppi, blurred: ${sheet.name}`, async () => {
      const job = bookmobileJob();
      const layouts = jobLayout(job);
      const pages = panelLabels(job, layouts, { fonts, sheet });
      const found: string[] = [];
      for (const page of pages) {
        for (const code of page.items) {
          if (code.kind !== 'rects') continue;
          const box = itemBounds(code);
          const moved = code.rects.map((r) => ({ ...r, x: r.x - box.x + 4, y: r.y - box.y + 4 }));
          const image = blurred(rectsRendered(moved, box.width + 8, box.height + 8, 200), 1);
          const [read] = await readBarcodes(image, { formats: ['QRCode'] });
          found.push(read?.text ?? 'nothing');
        }
      }
      const labels = layouts.flatMap(({ panels }) => panels.map(({ label }) => label));
      expect(found).toEqual(labels.map((label) => `Job ACL-2611 Panel ${label}`));
    });
  }

  it('says the same in letters as in the code, and begins behind labels that are gone', () => {
    const job = bookmobileJob();
    const sheet = LABEL_SHEETS['a4-2x4'];
    const [page] = panelLabels(job, jobLayout(job), { fonts, sheet, skip: 5, panelIds: ['mid-rear'] });
    const texts = textsOf(page!);
    expect(texts.map(({ text }) => text)).toEqual(
      expect.arrayContaining(['LH-02', '2 of 6 · Left side', 'Job ACL-2611', 'Visible 2850 × 690 mm']),
    );
    const place = labelRect(sheet, 5);
    expect(texts[0]!.at.x).toBeGreaterThan(place.x);
    expect(texts[0]!.at.y).toBeGreaterThan(place.y);
    expect(texts[0]!.at.y).toBeLessThan(place.y + place.height);
  });
});

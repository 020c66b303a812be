import { expect, it } from 'vitest';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { packingList } from '../../../core/sheets/packing-list.ts';
import { SHEET_SIZES } from '../../../core/sheets/sheet-size.ts';
import { bookmobileJob, testFonts } from './fixture.ts';
import { expectTidySheet } from './sheet-checks.ts';

it('the title block of each sheet has the logo of the shop beside its name, in its proportions', () => {
  const fonts = testFonts();
  const shop = { name: 'County Print Shop', address: '12 Depot Road', phone: '555-0100' };
  const job = bookmobileJob({ shop, dateOrder: 'month-first', date: '2026-11-05' });
  for (const [widthPx, heightPx] of [
    [480, 32],
    [20, 160],
  ] as const) {
    const logo = { widthPx, heightPx, rgb: new Uint8Array(widthPx * heightPx * 3).fill(90) };
    const options = { fonts, sheet: 'Letter', logo } as const;
    const sheets = [
      ...installMap(job, jobLayout(job), options),
      ...packingList(job, jobLayout(job), options),
    ];
    for (const sheet of sheets) {
      const tagged = (tag: string) => sheet.items.filter((item) => item.tag === tag);
      const [picture] = tagged('title block logo');
      if (picture?.kind !== 'picture') throw new Error('no logo');
      const { x, y, width, height } = picture.rect;
      expect(width / height).toBeCloseTo(widthPx / heightPx, 6);
      const owner = tagged('title block Owner');
      const [frame] = owner;
      if (frame?.kind !== 'rect') throw new Error('no frame');
      expect(x).toBeGreaterThan(frame.rect.x);
      expect(y).toBeGreaterThan(frame.rect.y);
      expect(y + height).toBeLessThan(frame.rect.y + frame.rect.height);
      const texts = owner.filter((item) => item.kind === 'text');
      expect(texts.length).toBeGreaterThan(1);
      for (const text of texts) expect(text.at.x).toBeGreaterThan(x + width);
      const dates = tagged('title block Date of issue').flatMap((item) =>
        item.kind === 'text' ? item.text : [],
      );
      expect(dates.join(' ')).toContain('Nov 5, 2026');
      expectTidySheet(sheet, SHEET_SIZES.Letter.marginMm);
    }
  }
});

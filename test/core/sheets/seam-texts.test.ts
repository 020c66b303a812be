import { expect, it } from 'vitest';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { bookmobileJob, dropsRegion, sideOf, testFonts } from './fixture.ts';

it('SH5 on a small sheet the text of a seam stands on its seam: beside it, it would be read at the next one', () => {
  const side = sideOf(
    'LH',
    'Left side',
    { width: 6000, height: 2100 },
    { layout: dropsRegion('l', 6000, 5) },
  );
  const job = bookmobileJob({ sides: [side] });
  const layouts = jobLayout(job);
  const sheets = installMap(job, layouts, { fonts: testFonts(), sheet: 'Letter' });
  const page = sheets.find(({ title }) => title.startsWith('LH · Left side'))!;
  const rects = page.items.flatMap((item) => (item.kind === 'rect' ? [item] : []));
  const picture = rects.find(({ tag }) => tag === 'outline')!.rect;
  const texts = rects.filter(({ tag }) => tag.startsWith('seam text')).map(({ rect }) => rect);
  const middles = texts.map(({ x, width }) => x + width / 2).toSorted((a, b) => a - b);
  const seams = layouts[0]!.seams.map(({ at }) => picture.x + (at / 6000) * picture.width);
  expect(middles).toHaveLength(4);
  for (const [index, x] of seams.toSorted((a, b) => a - b).entries())
    expect(middles[index]).toBeCloseTo(x, 6);
});

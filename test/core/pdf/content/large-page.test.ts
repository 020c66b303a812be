import { expect, it } from 'vitest';
import { contentForAreas } from '../../../../core/pdf/content/content-for-areas.ts';
import { countedBlocks } from '../../../support/counted-blocks.ts';
import { rawPdf } from '../../../support/raw-pdf.ts';
import { keptBytes, pageOf, seenOn } from './content-support.ts';

const AREAS = Array.from({ length: 12 }, (_, i) => ({ x0: i * 335, y0: 0, x1: (i + 1) * 335, y1: 620 }));
const WORK = ['core'];

const contentOf = (objects: number): string =>
  Array.from({ length: objects }, (_, i) => {
    const [x, y] = [(i * 37) % 4000, (i * 91) % 600];
    return `q 1 0 0 1 ${x}.25 ${y}.5 cm /G gs 0.${i % 10} 0.2 0.7 0 k\n0 0 m 10.5 3.25 l 12.125 8.5 14.75 2.5 9 11 c h f Q\n`;
  }).join('');

/** What walking so many objects, and sharing them out to the areas, takes for each. */
async function workAnObject(objects: number): Promise<{ readonly walked: number; readonly shared: number }> {
  const content = contentOf(objects);
  const page = await pageOf(
    rawPdf({ page: '/MediaBox [0 0 4020 620]', resources: '/ExtGState << /G << /ca 0.5 >> >>', content }),
  );
  const walked = await countedBlocks(WORK, async () => {
    expect((await seenOn(page)).length).toBe(objects);
  });
  const shared = await countedBlocks(WORK, async () => {
    const cuts = await contentForAreas(page, AREAS, { slack: 1 });
    const kept = cuts.reduce((total, cut) => total + keptBytes(cut.page, content).length, 0);
    // Each object goes to one area, those on a boundary to two.
    expect(kept / content.length).toBeGreaterThan(1);
    expect(kept / content.length).toBeLessThan(1.1);
  });
  return { walked: walked / objects, shared: shared / objects };
}

it('walking vector objects, and sharing them out to 12 areas, takes as much for each of many as for each of few', async () => {
  const few = await workAnObject(4000);
  const many = await workAnObject(32_000);
  expect(many.walked).toBeLessThan(1.05 * few.walked);
  expect(many.shared).toBeLessThan(1.05 * few.shared);
  // A hundred bytes and nine operators.
  expect(many.walked).toBeLessThan(2000);
  expect(many.shared).toBeLessThan(4000);
});

import { expect, it } from 'vitest';
import { contentForAreas } from '../../../../core/pdf/content/content-for-areas.ts';
import { rawPdf } from '../../../support/raw-pdf.ts';
import { pageOf, seenOn } from './content-support.ts';

const OBJECTS = 200_000;

/** Seconds of computing so far: unlike the clock, these do not run while others have the machine. */
const computed = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

/** About a second on a desk's machine; a factor of ten above that is no longer the speed of a scan. */
it('WK9 200,000 vector objects are walked, and shared out to 12 windows, in seconds', {
  timeout: 240_000,
}, async () => {
  const parts = Array.from({ length: OBJECTS }, (_, i) => {
    const [x, y] = [(i * 37) % 4000, (i * 91) % 600];
    return `q 1 0 0 1 ${x}.25 ${y}.5 cm /G gs 0.${i % 10} 0.2 0.7 0 k\n0 0 m 10.5 3.25 l 12.125 8.5 14.75 2.5 9 11 c h f Q\n`;
  });
  const content = parts.join('');
  const page = await pageOf(
    rawPdf({ page: '/MediaBox [0 0 4020 620]', resources: '/ExtGState << /G << /ca 0.5 >> >>', content }),
  );
  const began = computed();
  const seen = await seenOn(page);
  const walked = computed() - began;
  const windows = Array.from({ length: 12 }, (_, i) => ({ x0: i * 335, y0: 0, x1: (i + 1) * 335, y1: 620 }));
  const cuts = await contentForAreas(page, windows, { slack: 1 });
  const shared = computed() - began - walked;
  expect(seen.length).toBe(OBJECTS);
  const kept = cuts.reduce((total, cut) => total + cut.page.bytes!.length, 0);
  // Each object goes to one window, those on a boundary to two.
  expect(kept / content.length).toBeGreaterThan(1);
  expect(kept / content.length).toBeLessThan(1.1);
  expect(walked).toBeLessThan(10);
  expect(shared).toBeLessThan(25);
});

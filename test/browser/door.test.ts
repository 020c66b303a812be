import type { Page } from 'playwright-core';
import { beforeEach, expect, it } from 'vitest';
import { regionJoints } from '../../core/job/region.ts';
import type { Job } from '../../core/job/schema.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import { archivedJob, awaitSaved, axeViolations, clickBench, dragBench } from './workstation.ts';

describeInBrowser('doors and outlines on the bench', () => {
  const shared = sharedWindow({ bypassCSP: true });
  let page: Page;
  let job: Job;

  beforeEach(async () => {
    job = await shared.openNewJob();
    page = shared.page;
    await page.keyboard.press('F6');
  });

  const inspector = () => page.getByRole('complementary', { name: 'Inspector' });
  const side = async () => {
    await awaitSaved(page);
    return (await archivedJob(shared.station, job.id)).sides[0]!;
  };

  it('draws a door, sets how it moves, drags an edge, and makes it a section', async () => {
    await page.keyboard.press('j');
    await dragBench(page, [600, 150], [1400, 1150]);
    expect((await side()).doors).toMatchObject([
      {
        name: 'Door',
        gap: { top: { atMm: 150 }, right: { atMm: 1400 }, bottom: { atMm: 1150 }, left: { atMm: 600 } },
        motion: { kind: 'hinged' },
        isEdgeWrapped: true,
      },
    ]);
    await dragBench(page, [1400, 600], [1450, 600]);
    await inspector().getByRole('radio', { name: 'Slides' }).check();
    await inspector().getByLabel('Slides toward its').selectOption('right');
    await inspector().getByLabel('Slides by').fill('30 in');
    await inspector().getByLabel('Slides by').press('Tab');
    await inspector().getByLabel('Film goes around its edges').uncheck();
    await inspector().getByLabel('Top edge, from the top').fill('160');
    await inspector().getByLabel('Top edge, from the top').press('Tab');
    expect((await side()).doors).toMatchObject([
      {
        gap: { top: { atMm: 160 }, right: { atMm: 1450 } },
        motion: { kind: 'slides', toward: 'right', byMm: 762, passes: 'over' },
        isEdgeWrapped: false,
      },
    ]);
    await inspector().getByRole('button', { name: 'Bend up' }).click();
    expect((await side()).doors![0]!.gap.top.shape!.length).toBeGreaterThan(3);
    await inspector().getByRole('button', { name: 'Make the door a section, upright' }).click();
    const made = regionJoints((await side()).layout);
    expect(made.filter(({ kind }) => kind === 'gap').length).toBeGreaterThan(1);
    // All of its gap has seams on it: it is selected by its arrow, or by its name under Side.
    await page.keyboard.press('F6');
    await page.keyboard.press('Escape');
    await clickBench(page, 1000, 630);
    await inspector().getByRole('heading', { name: 'Door', exact: true }).waitFor();
    await page.keyboard.press('F6');
    await page.keyboard.press('Escape');
    await inspector().getByRole('tab', { name: 'Side' }).click();
    await inspector().getByRole('button', { name: 'Door', exact: true }).click();
    await inspector().getByRole('tab', { name: 'Selection' }).click();
    await inspector().getByRole('heading', { name: 'Door', exact: true }).waitFor();
    await page.keyboard.press('F6');
    await page.keyboard.press('Control+z');
    expect(regionJoints((await side()).layout).some(({ kind }) => kind === 'gap')).toBe(false);
  });

  it('draws a door alike in light and dark, three to one against its halo', async () => {
    await page.keyboard.press('j');
    await dragBench(page, [600, 150], [1400, 1150]);
    await inspector().getByRole('radio', { name: 'Slides' }).check();
    expect(await axeViolations(page)).toEqual([]);
    for (const colorScheme of ['dark', 'light'] as const) {
      await page.emulateMedia({ colorScheme });
      if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/door-${colorScheme}.png` });
      const style = (name: string, what: string) =>
        page.evaluate<string>(`getComputedStyle(document.querySelector('${name}')).${what}`);
      const stroke = (name: string) => style(name, 'stroke');
      const halo = luminance(await stroke('.line-halo'));
      // The door is selected: its halo shows on both sides of its line.
      const widths = await Promise.all(
        ['.line-halo', '.body-line'].map(async (name) => Number.parseFloat(await style(name, 'strokeWidth'))),
      );
      expect(widths[0]! - widths[1]!).toBeGreaterThanOrEqual(3);
      expect(contrast(luminance(await stroke('.body-line')), halo)).toBeGreaterThan(3);
      expect(contrast(luminance(await stroke('.door-motion')), halo)).toBeGreaterThan(3);
    }
    await page.emulateMedia({ colorScheme: null });
  });

  it('puts a door in the middle by keyboard, and its menu makes it a section', async () => {
    await page.keyboard.press('j');
    await page.keyboard.press('Enter');
    const [door] = (await side()).doors!;
    await page.keyboard.press('F6');
    await page.keyboard.press('ArrowRight');
    expect((await side()).doors![0]!.gap.left.atMm).toBe(door!.gap.left.atMm + 1);
    await page.keyboard.press('Shift+F10');
    await page.getByRole('menuitem', { name: 'Make the door a section of its own' }).click();
    expect(regionJoints((await side()).layout).filter(({ kind }) => kind === 'gap').length).toBeGreaterThan(
      1,
    );
    await page.keyboard.press('F6');
    await page.keyboard.press('Delete');
    expect((await side()).doors).toEqual([]);
  });

  it('draws an outline corner by corner, drags and adds corners, types them, and refuses one that crosses itself', async () => {
    await page.keyboard.press('o');
    await clickBench(page, 500, 1000);
    await clickBench(page, 700, 600);
    await clickBench(page, 1200, 600);
    await clickBench(page, 1900, 900);
    await page.keyboard.press('Backspace');
    await clickBench(page, 1400, 1000);
    await clickBench(page, 500, 1000);
    const area = async () => (await side()).noFilmAreas[0]!;
    const corners = async () => (await area()).outline?.map(({ xMm, yMm }) => [xMm, yMm]);
    expect(await corners()).toEqual([
      [500, 1000],
      [700, 600],
      [1200, 600],
      [1400, 1000],
    ]);
    expect((await area()).rect).toEqual({ xMm: 500, yMm: 600, widthMm: 900, heightMm: 400 });
    await dragBench(page, [700, 600], [650, 550]);
    await page.keyboard.down('Shift');
    await dragBench(page, [950, 1000], [950, 1100]);
    await page.keyboard.up('Shift');
    expect(await corners()).toEqual([
      [500, 1000],
      [650, 550],
      [1200, 600],
      [1400, 1000],
      [950, 1100],
    ]);
    const table = inspector().getByLabel('Corners', { exact: true });
    await table.fill('0; 0\n100; 100\n100; 0\n0; 100');
    await table.press('Tab');
    await inspector()
      .getByText(/The outline of “No-film area” .* meets itself at/)
      .waitFor();
    await table.fill('20 in; 10 in\n1000; 254\n1000; 900\n508; 900');
    await table.press('Tab');
    expect(await area()).toMatchObject({ rect: { xMm: 508, yMm: 254, widthMm: 492, heightMm: 646 } });
    expect(await corners()).toBeUndefined();
    await page.keyboard.press('F6');
    for (let step = 0; step < 4; step += 1) await page.keyboard.press('Control+z');
    expect((await side()).noFilmAreas).toEqual([]);
  });
});

/** Of `rgb(r, g, b)`, as WCAG 2.2 defines it. */
function luminance(color: string): number {
  const [red, green, blue] = color.match(/[\d.]+/g)!.map((value) => {
    const share = Number(value) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

const contrast = (a: number, b: number): number => (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);

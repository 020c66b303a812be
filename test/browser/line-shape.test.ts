import type { Page } from 'playwright-core';
import { beforeEach, expect, it } from 'vitest';
import { linePath } from '../../core/job/line-path.ts';
import { regionJoints } from '../../core/job/region.ts';
import type { Job } from '../../core/job/schema.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import { archivedJob, awaitSaved, clickBench, dragBench, passFrames } from './workstation.ts';

describeInBrowser('body lines with shape', () => {
  const shared = sharedWindow();
  let page: Page;
  let job: Job;

  beforeEach(async () => {
    job = await shared.openNewJob();
    page = shared.page;
    await page.keyboard.press('F6');
  });

  const inspector = () => page.getByRole('complementary', { name: 'Inspector' });
  const lines = async () => {
    await awaitSaved(page);
    return (await archivedJob(shared.station, job.id)).sides[0]!.bodyLines;
  };
  const points = async () =>
    linePath((await lines())[0]!).map(({ along, across }) => [along, Math.round(across * 1e6) / 1e6]);

  it('draws one point by point, drags and adds points, and takes them back', async () => {
    await page.keyboard.press('n');
    await clickBench(page, 300, 800);
    await clickBench(page, 900, 850);
    await clickBench(page, 2000, 850);
    await clickBench(page, 2010, 400);
    await page.keyboard.press('Backspace');
    await clickBench(page, 2700, 760);
    await page.keyboard.press('Enter');
    expect(await points()).toEqual([
      [300, 800],
      [900, 850],
      [2000, 850],
      [2700, 760],
    ]);
    await dragBench(page, [900, 850], [1000, 870]);
    await page.keyboard.down('Shift');
    await dragBench(page, [1700, 854], [1700, 894]);
    await page.keyboard.up('Shift');
    const dragged = await points();
    expect(dragged.map(([along]) => along)).toEqual([300, 1000, 1700, 2000, 2700]);
    expect(dragged[1]).toEqual([1000, 870]);
    await page.keyboard.press('F6');
    for (let step = 0; step < 3; step += 1) await page.keyboard.press('Control+z');
    expect(await lines()).toEqual([]);
  });

  it('begins in the middle by keyboard, takes its points typed, bends and straightens', async () => {
    await page.keyboard.press('n');
    await page.keyboard.press('Enter');
    const table = inspector().getByLabel('Points', { exact: true });
    expect(await table.inputValue()).toBe('620 mm; 650 mm\n2480 mm; 650 mm');
    await table.fill('300; 700\n20 in\t28 in\n2000; 640');
    await table.press('Tab');
    expect(await points()).toEqual([
      [300, 700],
      [508, 711.2],
      [2000, 640],
    ]);
    await table.fill('300; 700');
    await table.press('Tab');
    await inspector().getByText('A body line with points needs two rows or more.').waitFor();
    await table.fill('300; 700\n2300; 700');
    await table.press('Tab');
    await inspector().getByLabel('Bend, in its middle').fill('80');
    await inspector().getByLabel('Bend, in its middle').press('Tab');
    await inspector().getByRole('button', { name: 'Bend up' }).click();
    const arc = await points();
    expect(Math.min(...arc.map(([, across]) => across!))).toBeGreaterThan(619.9);
    expect(Math.min(...arc.map(([, across]) => across!))).toBeLessThan(621);
    expect([arc[0], arc.at(-1)]).toEqual([
      [300, 700],
      [2300, 700],
    ]);
    await passFrames(page);
    await inspector().getByRole('button', { name: 'Straighten' }).click();
    expect((await lines())[0]).toMatchObject({ extent: { fromMm: 300, toMm: 2300 } });
    expect((await lines())[0]!.shape).toBeUndefined();
  });

  it('lets a seam follow a line, says what it costs, and bends the seam with the line', async () => {
    await page.keyboard.press('h');
    await clickBench(page, 2200, 600);
    await page.keyboard.press('F6');
    await page.keyboard.press('n');
    await clickBench(page, 1400, 550);
    await clickBench(page, 3000, 750);
    await page.keyboard.press('Enter');
    await clickBench(page, 2200, 600);
    await inspector().getByLabel('Follow a body line').waitFor();
    const options = await inspector().getByLabel('Follow a body line').locator('option').allTextContents();
    expect(options[0]).toBe('No line: straight');
    expect(options[1]).toMatch(/^Body line: 0\.\d+ m² more film$/);
    await inspector().getByLabel('Follow a body line').selectOption({ index: 1 });
    const seam = async () => {
      await awaitSaved(page);
      return regionJoints((await archivedJob(shared.station, job.id)).sides[0]!.layout).find(
        ({ follows }) => follows !== undefined,
      );
    };
    const followed = await seam();
    const straighter = inspector().getByLabel('Follow a body line').locator('option').first();
    expect(await straighter.textContent()).toMatch(/^No line: straight: 0\.\d+ m² less film$/);
    expect(followed).toMatchObject({ atMm: 550, shape: (await lines())[0]!.shape });
    await inspector().getByLabel('Below the line').fill('120');
    await inspector().getByLabel('Below the line').press('Tab');
    expect((await seam())?.atMm).toBe(670);
    await clickBench(page, 1600, 575);
    await dragBench(page, [1400, 550], [1400, 590]);
    const bent = await seam();
    expect(bent?.shape).toEqual((await lines())[0]!.shape);
    expect(bent?.shape?.[0]).toEqual({ alongMm: 1400, offMm: 40 });
    await page.locator('.bench-area').focus();
    await page.keyboard.press('Delete');
    const question = page.getByRole('dialog', { name: 'Remove the line?' });
    await question.getByText('A seam follows this line.').waitFor();
    await question.getByRole('button', { name: 'Straighten the seam' }).click();
    expect(await lines()).toEqual([]);
    const straight = regionJoints((await archivedJob(shared.station, job.id)).sides[0]!.layout);
    // From 1,330 to 1,400 mm level at 710 mm, then down to 870 at 3,000, level to the end of the side at 3,100 mm.
    const mean = (70 * 710 + 1600 * 790 + 100 * 870) / 1770;
    expect(straight.find(({ id }) => id === followed?.id)!.atMm).toBeCloseTo(mean, 6);
    expect(straight.some(({ shape }) => shape)).toBe(false);
    await page.getByRole('button', { name: 'Undo' }).click();
    await clickBench(page, 1600, 605);
    await page.locator('.bench-area').focus();
    await page.keyboard.press('Delete');
    await question.getByRole('button', { name: 'Keep the shape' }).click();
    await awaitSaved(page);
    expect(await lines()).toEqual([]);
    const joints = regionJoints((await archivedJob(shared.station, job.id)).sides[0]!.layout);
    expect(joints.find(({ shape }) => shape)).toMatchObject({ shape: bent?.shape });
  });

  it('makes the edges of an outline that is drawn all round', async () => {
    await page.keyboard.press('n');
    for (const [x, y] of [
      [400, 200],
      [1100, 200],
      [1100, 1000],
      [400, 1000],
      [400, 200],
    ] as const) {
      await clickBench(page, x, y);
    }
    await page.keyboard.press('Enter');
    expect((await lines()).map(({ direction }) => direction)).toEqual([
      'horizontal',
      'vertical',
      'horizontal',
      'vertical',
    ]);
    expect(await page.locator('.announcement').textContent()).toBe(
      'The line turns back, so it became 4 body lines.',
    );
  });
});

import type { Page } from 'playwright-core';
import { beforeEach, expect, it } from 'vitest';
import type { Job } from '../../core/job/schema.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import {
  archivedJob,
  awaitSaved,
  benchPoint,
  chooseJobAct,
  clickBench,
  dragBench,
  passFrames,
  seenText,
} from './workstation.ts';

describeInBrowser('measuring, guide lines and repeated lines', () => {
  const shared = sharedWindow({ permissions: ['clipboard-read', 'clipboard-write'] });
  let page: Page;
  let job: Job;

  beforeEach(async () => {
    job = await shared.openNewJob();
    page = shared.page;
    await page.keyboard.press('F6');
  });

  const inspector = () => page.getByRole('complementary', { name: 'Inspector' });
  const said = async () => await page.locator('.announcement').textContent();
  const side = async () => (await archivedJob(shared.station, job.id)).sides[0]!;
  const hoverBench = async (xMm: number, yMm: number) => {
    const { x, y } = await benchPoint(page, xMm, yMm);
    await page.mouse.move(x, y, { steps: 3 });
    await passFrames(page);
  };

  it('measures between two points that are drawn to what lies there, and copies the length', async () => {
    await page.keyboard.press('m');
    await clickBench(page, 1333, 403);
    await hoverBench(3098, 797);
    expect(await seenText(page, '.readout')).toContain('At the edge of the side');
    await clickBench(page, 3098, 404);
    expect(await said()).toBe('1770 mm apart: 1770 mm across, 0 mm up and down.');
    await page.keyboard.press('Control+c');
    await page.waitForFunction("document.querySelector('.announcement').textContent.startsWith('Copied')");
    expect(await page.evaluate('navigator.clipboard.readText()')).toBe('1770 mm');
    await page.keyboard.press('Escape');
    await passFrames(page);
    expect(await inspector().getByText('Second point').count()).toBe(0);
    expect(await page.locator('.measure-line').count()).toBe(0);
  });

  it('takes both ends typed, by keyboard alone', async () => {
    await page.keyboard.press('m');
    await page.keyboard.press('Enter');
    for (const length of ['200', '150', '20 in', '550']) {
      await page.keyboard.type(length);
      await page.keyboard.press('Tab');
    }
    // 508 − 200 mm across and 550 − 150 mm down: √(308² + 400²).
    expect(await said()).toBe('504.8 mm apart: 308 mm across, 400 mm up and down.');
  });

  it('drops a guide line where it is typed, draws seams to it, and removes it', async () => {
    await page.keyboard.press('u');
    await page.keyboard.press('Enter');
    const place = inspector().getByLabel('From the left of the side');
    expect(await place.inputValue()).toBe('1550 mm');
    await place.fill('1723');
    await place.press('Enter');
    await dragBench(page, [1330, 900], [1716, 900]);
    expect(await place.inputValue()).toBe('1723 mm');
    await awaitSaved(page);
    expect((await side()).guides).toMatchObject([{ direction: 'vertical', atMm: 1723 }]);
    await page.reload();
    await page.locator('.guide-line').waitFor({ state: 'attached' });
    await clickBench(page, 1723, 1390);
    await page.keyboard.press('Escape');
    await dragBench(page, [1723, 900], [1500, 900]);
    await clickBench(page, 1723, 700);
    await page.keyboard.press('Delete');
    await passFrames(page);
    expect(await page.locator('.guide-line').count()).toBe(0);
  });

  it('drops a guide line on what lies under the pointer, with the reason', async () => {
    await page.keyboard.press('u');
    await hoverBench(1334, 700);
    expect(await seenText(page, '.readout')).toContain('On a seam');
    await clickBench(page, 1334, 700);
    await awaitSaved(page);
    expect((await side()).guides).toMatchObject([{ atMm: 1330 }]);
  });

  it('repeats a body line in one step of undo, and says what does not fit', async () => {
    await page.keyboard.press('b');
    await page.keyboard.press('Enter');
    await inspector().getByLabel('From the left of the side').fill('100');
    await inspector().getByLabel('Every').fill('24 in');
    await inspector().getByLabel('Times').fill('4');
    await inspector().getByRole('button', { name: 'Repeat', exact: true }).click();
    await awaitSaved(page);
    const places = async () => (await side()).bodyLines.map(({ atMm }) => atMm);
    const added = [100, 709.6, 1319.2, 1928.8, 2538.4];
    const found = await places();
    expect(found).toHaveLength(added.length);
    for (const [index, atMm] of added.entries()) expect(found[index]).toBeCloseTo(atMm, 9);
    await inspector().getByLabel('Times').fill('9');
    await inspector().getByRole('button', { name: 'Repeat', exact: true }).click();
    await inspector().getByText('Only 4 lines fit').waitFor();
    await page.keyboard.press('F6');
    await page.keyboard.press('Control+z');
    await awaitSaved(page);
    expect(await places()).toEqual([100]);
  });

  it('puts an area into the middle by keyboard', async () => {
    await page.keyboard.press('o');
    await page.keyboard.press('Enter');
    await awaitSaved(page);
    const [area] = (await side()).noFilmAreas.slice(-1);
    expect(area).toMatchObject({ name: 'No-film area', rect: { xMm: 1240, widthMm: 620 } });
  });

  it('enlarges what lies under the pointer, beside it, and stops when that is not wanted', async () => {
    await page.keyboard.press('m');
    await hoverBench(1600, 700);
    const loupe = page.locator('.loupe');
    const box = (await loupe.boundingBox())!;
    const at = await benchPoint(page, 1600, 700);
    const isOver = at.x > box.x && at.x < box.x + box.width && at.y > box.y && at.y < box.y + box.height;
    expect(isOver).toBe(false);
    await page.keyboard.press('Escape');
    await page.locator('summary', { hasText: /^View$/ }).click();
    const wish = page.getByLabel('Loupe while measuring and dragging');
    await wish.uncheck();
    await page.keyboard.press('Escape');
    await page.keyboard.press('F6');
    await page.keyboard.press('m');
    await hoverBench(1500, 700);
    expect(await loupe.isVisible()).toBe(false);
    await page.evaluate("localStorage.removeItem('panelwright-settings')");
  });

  it('fits the side to a window of another size until somebody zooms', async () => {
    const zoom = async () => await page.getByLabel('Zoom', { exact: true }).textContent();
    const usual = page.viewportSize()!;
    const before = await zoom();
    await page.setViewportSize({ ...usual, width: 1000 });
    await passFrames(page);
    const fitted = await zoom();
    expect(fitted).not.toBe(before);
    await page.keyboard.press('+');
    await passFrames(page);
    const chosen = await zoom();
    await page.setViewportSize(usual);
    await passFrames(page);
    expect(await zoom()).toBe(chosen);
    await page.keyboard.press('0');
    await passFrames(page);
    expect(await zoom()).toBe(before);
  });

  it('asks before it deletes with the safe answer in hand, and Escape says the same', async () => {
    await shared.showJobs();
    for (const key of ['Enter', 'Escape']) {
      await chooseJobAct(page, job.number, 'Delete…');
      await page.getByRole('dialog').getByText('This deletes for good').waitFor();
      expect(await page.evaluate('document.activeElement.textContent')).toBe('Cancel');
      await page.keyboard.press(key);
      await page.getByRole('dialog').waitFor({ state: 'detached' });
    }
    await page.getByRole('link', { name: job.number, exact: true }).first().waitFor();
  });
});

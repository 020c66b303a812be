import { readdir } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import { expect, it, vi } from 'vitest';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import { axeViolations } from './workstation.ts';

vi.setConfig({ testTimeout: 180_000 });
const DRAWING = { timeout: 60_000 };

const paperWidth = (page: Page) =>
  page.evaluate<number>("document.querySelector('.picture-pane-paper').clientWidth");

describeInBrowser('what prints, before it prints', () => {
  const shared = sharedWindow({ bypassCSP: true });

  it('is a panel alone, with its parts shaded and named, fitted or at its true size', async () => {
    await shared.openNewJob();
    const { page } = shared;
    await page.locator('.panel-table .row-button').first().dblclick();
    const view = page.getByRole('dialog', { name: 'LH-01 as it prints' });
    await view.locator('img.picture-pane-whole').first().waitFor(DRAWING);
    // 1330 mm seen, 15 mm past the seam, 50 mm bleed, 30 mm border.
    await view.getByText('Size on roll 1455 × 1460 mm').waitFor();
    const names = await view.locator('.panel-band-names li').allTextContents();
    expect(names.map((name) => name.trim())).toEqual([
      'Border 30 mm all around, with marks and label; it is cut off',
      'Bleed 50 mm at the top',
      'Overlap 25 mm at the right: under LH-02, extends 15 mm past the seam',
      'Bleed 50 mm at the bottom',
      'Bleed 50 mm at the left',
    ]);
    expect(await view.locator('.panel-bands .panel-band').count()).toBe(8);
    expect(await axeViolations(page)).toEqual([]);
    await view.getByLabel('Shade and name its parts').uncheck();
    expect(await view.locator('.panel-bands').count()).toBe(0);
    await view.getByRole('button', { name: 'True size' }).click();
    const width = await paperWidth(page);
    // 96 pixels of a style sheet are an inch.
    expect(width).toBe(Math.round((1455 * 96) / 25.4));
    await view.locator('.picture-pane-sharp img').waitFor(DRAWING);
    await view.getByRole('button', { name: 'Next panel' }).click();
    await page
      .getByRole('dialog', { name: 'LH-02 as it prints' })
      .locator('img.picture-pane-whole')
      .first()
      .waitFor(DRAWING);
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
  });

  it('is the right sheet at once, enlarged, printed by the system’s dialog and saved', async () => {
    const job = await shared.openNewJob();
    const { page } = shared;
    await page.getByRole('link', { name: 'Sheets' }).click();
    const map = page.getByRole('img', { name: /^Install map, page 1 of/ });
    await map.and(page.locator('img')).waitFor(DRAWING);
    const drawing = Promise.withResolvers<void>();
    await page.route('**/ask/sheet%3Apreview', async (route) => {
      await drawing.promise;
      await route.continue();
    });
    await page.getByRole('button', { name: 'Panel labels' }).click();
    await page.getByRole('img', { name: /^Panel labels/ }).waitFor();
    // Nothing of the map stays under the name of the labels.
    expect(await page.locator('img.sheet-picture').count()).toBe(0);
    drawing.resolve();
    await page.locator('img.sheet-picture').waitFor(DRAWING);
    await page.unrouteAll({ behavior: 'wait' });

    const fitted = await paperWidth(page);
    await page.getByRole('button', { name: 'Zoom in' }).click();
    const enlarged = await paperWidth(page);
    expect(enlarged / fitted).toBeCloseTo(1.5, 1);

    await page.evaluate(
      'window.print = () => { window.printedPages = document.querySelectorAll(".print-pages img").length; }',
    );
    await page.getByRole('button', { name: 'Print', exact: true }).click();
    await expect.poll(() => page.evaluate('window.printedPages'), DRAWING).toBe(1);
    expect(await page.locator('.print-pages').count()).toBe(0);

    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText(/labels.*\.pdf is in output\./).waitFor(DRAWING);
    const saved = await readdir(shared.station.outputFolder);
    expect(saved.filter((name) => name.includes(job.number) && name.endsWith('.pdf'))).toHaveLength(1);
  });

  it('is the artwork on the rolls, with the name of every panel, and all of the film by one button', async () => {
    await shared.openNewJob();
    const { page } = shared;
    await page.getByRole('link', { name: 'Production' }).click();
    await page.locator('.roll-artwork image').first().waitFor(DRAWING);
    expect(await page.locator('.roll-artwork image').count()).toBe(2);
    await page.getByTitle('Zoom in').click();
    const board = '.roll-board-film';
    const isScrolled = () =>
      page.evaluate<boolean>(
        `document.querySelector('${board}').scrollWidth > document.querySelector('${board}').clientWidth`,
      );
    await expect.poll(isScrolled).toBe(true);
    await page.getByRole('button', { name: 'Fit' }).click();
    await expect.poll(isScrolled).toBe(false);
    const names = await page.locator('.roll-panel').allTextContents();
    expect(names).toEqual([expect.stringContaining('01'), expect.stringContaining('02')]);
    // What is selected keeps its colors: it shows by its edge.
    await page.locator('.roll-panel').first().focus();
    expect(await page.locator('.roll-panel.is-chosen .roll-artwork image').count()).toBe(1);
    const edge = await page.evaluate(
      "getComputedStyle(document.querySelector('.roll-panel.is-chosen .roll-panel-edge')).fill",
    );
    expect(edge).toBe('none');
  });
});

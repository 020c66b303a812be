import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { DEFAULT_PRODUCTION, type ProductionSettings } from '../../core/shop/production-settings.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { pageFaults } from './page-faults.ts';
import { archivedJob, axeViolations, startWorkstation, type Workstation } from './workstation.ts';

vi.setConfig({ testTimeout: 300_000 });
const PICTURES = process.env.PANELWRIGHT_PICTURES;

const planned = (number: string, settings: Partial<ProductionSettings>) => ({
  ...{ id: `id-${number}`, number, name: `Bookmobile ${number}` },
  production: {
    ...DEFAULT_PRODUCTION,
    ...{ ink: 'uv-cured' as const, worstCoveragePercent: 210, meanCoveragePercent: 120, ...settings },
  },
});

describeInBrowser('the week of the shop, on the screen', () => {
  let station: Workstation;
  let page: Page;
  beforeEach(async () => {
    station = await startWorkstation();
    await station.smallJobAdded(planned('BM-1', { printStart: '2026-11-24T08:00' }));
    await station.smallJobAdded(
      planned('BM-2', { printStart: '2026-11-24T08:20', promised: '2026-11-25T13:10' }),
    );
    await station.smallJobAdded(planned('BM-3', { promised: '2026-11-24T09:40' }));
    page = await station.window({ bypassCSP: true });
    await page.clock.setFixedTime(new Date('2026-11-23T09:05'));
    await page.getByRole('link', { name: 'The week', exact: true }).press('Enter');
    await page.getByRole('heading', { name: 'The week', exact: true }).waitFor();
  });
  afterEach(async () => await station.close());

  const startOf = async (number: string) => (await archivedJob(station, `id-${number}`)).production;
  const bar = (words: RegExp) => page.getByRole('button', { name: words });

  it('WEEK3 tells what breaks, mends it by one press, and undoes the move', async () => {
    const warning = page.getByText(/^Printer 1: BM-1 and BM-2 overlap by/);
    await warning.waitFor();
    expect(await axeViolations(page)).toEqual([]);
    for (const theme of ['light', 'dark']) {
      await page.evaluate(`document.documentElement.dataset.theme = '${theme}'`);
      expect(await axeViolations(page)).toEqual([]);
      if (PICTURES) await page.screenshot({ path: join(PICTURES, `week-${theme}.png`), fullPage: true });
    }
    await page.getByRole('button', { name: /^Begin BM-2 at/ }).press('Enter');
    await warning.waitFor({ state: 'detached' });
    const moved = (await startOf('BM-2'))!.printStart!;
    expect(moved > '2026-11-24T08:20' && moved < '2026-11-24T10:00').toBe(true);
    await page.keyboard.press('Control+z');
    await warning.waitFor();
    expect((await startOf('BM-2'))!.printStart).toBe('2026-11-24T08:20');
    await page.keyboard.press('Control+y');
    await warning.waitFor({ state: 'detached' });
  });

  it('moves a job by arrow keys, by dragging and by a typed start, and gives one that waits a start', async () => {
    const second = bar(/^BM-2, Bookmobile BM-2, printing/);
    await second.focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowRight');
    await page.getByText(/^BM-2: printing would begin Wed 25 Nov, 08:35/).waitFor();
    await page.keyboard.press('Enter');
    await page.getByText(/^Printer 1: BM-1 and BM-2 overlap by/).waitFor({ state: 'detached' });
    expect((await startOf('BM-2'))!.printStart).toBe('2026-11-25T08:35');

    const box = (await second.boundingBox())!;
    const day = (await second.locator('..').boundingBox())!.width / 7;
    await page.mouse.move(box.x + 8, box.y + 8);
    await page.mouse.down();
    await page.mouse.move(box.x + 8 - day / 2, box.y + 8, { steps: 4 });
    await page.mouse.move(box.x + 8 - day, box.y + 8, { steps: 4 });
    await page.mouse.up();
    await expect.poll(async () => (await startOf('BM-2'))!.printStart).toBe('2026-11-24T08:30');

    await bar(/^BM-2, Bookmobile BM-2, installation/).press('Enter');
    const dialog = page.getByRole('dialog', { name: 'BM-2: installation' });
    await dialog.getByLabel('Begins').fill('2026-11-27T10:05');
    expect(await axeViolations(page)).toEqual([]);
    if (PICTURES) await page.screenshot({ path: join(PICTURES, 'week-dialog.png') });
    await dialog.getByRole('button', { name: 'Keep this start' }).press('Enter');
    await dialog.waitFor({ state: 'detached' });
    expect((await startOf('BM-2'))!.installStart).toBe('2026-11-27T10:05');
    await page.getByText(/^Installation of BM-2 is promised for .* and is planned for/).waitFor();

    await page.getByRole('button', { name: 'Give BM-3 a start' }).press('Enter');
    await page
      .getByRole('dialog', { name: 'BM-3: printing' })
      .getByRole('button', { name: 'Keep this start' })
      .press('Enter');
    await page.getByRole('heading', { name: 'Without a start of printing' }).waitFor({ state: 'detached' });
    expect((await startOf('BM-3'))!.printStart).toMatch(/^2026-11-24T/);
    await page.getByText(/^Installation of BM-3 is promised for .* at the earliest/).waitFor();
  });

  it('fits a small window at twice the size', async () => {
    const small = await station.window({
      viewport: { width: 720, height: 450 },
      deviceScaleFactor: 2,
      bypassCSP: true,
    });
    await small.clock.setFixedTime(new Date('2026-11-23T09:05'));
    await small.getByRole('link', { name: 'The week', exact: true }).click();
    await small.getByText(/^Printer 1: BM-1 and BM-2 overlap by/).waitFor();
    expect(await pageFaults(small)).toEqual([]);
    if (PICTURES) await small.screenshot({ path: join(PICTURES, 'week-small.png'), fullPage: true });
  });
});

import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { JobActuals } from '../../core/output/job-actuals.ts';
import { DEFAULT_PRODUCTION } from '../../core/shop/production-settings.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { pageFaults } from './page-faults.ts';
import { axeViolations, startWorkstation, type Workstation } from './workstation.ts';

vi.setConfig({ testTimeout: 300_000 });
const PICTURES = process.env.PANELWRIGHT_PICTURES;

describeInBrowser('reports of the shop, on the screen', () => {
  let station: Workstation;
  beforeEach(async () => {
    station = await startWorkstation();
    const context = { clientId: 'setup', signal: new AbortController().signal, report: () => undefined };
    const { handlers } = station.services;
    // Two panels each: 6, 9 and 12 minutes a panel.
    for (const [number, trimming] of [
      ['BM-1', 0.2],
      ['BM-2', 0.3],
      ['BM-3', 0.4],
    ] as const) {
      const jobId = `id-${number}`;
      const production = { ...DEFAULT_PRODUCTION, promisedYears: 3 };
      await station.smallJobAdded({ id: jobId, number, production });
      const actuals: JobActuals = {
        ...{ filmM: 3.6, installHours: 2.5, stepHours: { trimming } },
        reprints:
          number === 'BM-2'
            ? [{ panel: 'LH-02', reason: 'color', paidBy: 'supplier', on: '2026-03-17' }]
            : [],
      };
      const kept = await handlers['actuals:keep']({ jobId, actuals }, context);
      if (!kept.ok) throw new Error(kept.problem.message);
    }
    await handlers['job:installed']({ id: 'id-BM-3', on: '2026-02-28' }, context);
    station.services.releaseClient('setup');
  });
  afterEach(async () => await station.close());

  it('ACT2 shows actuals, reprints and removals, takes a figure by one press, and saves the tables', async () => {
    const page = await station.window({ bypassCSP: true });
    await page.getByRole('link', { name: 'Reports', exact: true }).press('Enter');
    const trimming = page.getByRole('row', { name: /^Trimming a panel, min/ });
    await trimming.waitFor();
    expect(await trimming.locator('td').allInnerTexts()).toEqual(['4', '9', '4.45', '3', '', 'Count with 9']);
    expect(await pageFaults(page)).toEqual([]);
    for (const theme of ['light', 'dark']) {
      await page.evaluate(`document.documentElement.dataset.theme = '${theme}'`);
      expect(await axeViolations(page)).toEqual([]);
      if (PICTURES) await page.screenshot({ path: join(PICTURES, `reports-${theme}.png`), fullPage: true });
    }
    await page.getByRole('row', { name: /2026-03 color 1 .* supplier|2026-03 color 1 / }).waitFor();
    await page.getByRole('row', { name: /BM-3 Alder County Library .* 3 years/ }).waitFor();
    await page.getByLabel('Search film, lot, vehicle, customer or date').fill('2026-02-27');
    await page.getByText('0 of 1 wrap').waitFor();
    await page.getByLabel('Search film, lot, vehicle, customer or date').fill('bm-3 2026-02-28');
    await page.getByText('1 of 1 wrap').waitFor();
    await page.getByRole('button', { name: 'Count with 9', exact: true }).press('Enter');
    await page.getByText('the shop counts with 9 from now on, before 4.').waitFor();
    expect(await trimming.locator('td').first().textContent()).toBe('9');
    await page.getByRole('button', { name: 'Save the tables' }).press('Enter');
    await page.getByText(/panelwright_removals\.csv are in/).waitFor();
    const saved = await readFile(join(station.outputFolder, 'panelwright_removals.csv'), 'utf8');
    expect(saved).toContain('2029-02-28');
  });

  it('opens the entry of a job by the code that a hand scanner types on the list', async () => {
    const page = await station.window();
    const search = page.locator('.jobs-filters input').first();
    await search.pressSequentially('Job BM-2 Output 1 Production ticket 1 of 2');
    await search.press('Enter');
    await page.getByRole('heading', { name: 'What the job took' }).waitFor();
    await expect.poll(async () => await page.getByLabel('Installation, hours').inputValue()).toBe('2.5');
    await page.getByLabel('Installation, hours').fill('3.25');
    await page.getByRole('button', { name: 'Keep what the job took' }).click();
    await page.getByText('What the job took is kept with the estimate of today.').waitFor();
    const kept = await station.services.archive.actuals.find('id-BM-2');
    expect(kept?.actuals.installHours).toBe(3.25);
  });
});

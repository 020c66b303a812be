/**
 * A walk through every screen of the demo's bookmobile, as people have it on their desks: both unit systems, both themes,
 * five sizes. PANELWRIGHT_PICTURES names a folder that keeps a picture of each stop.
 */
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Job } from '../../core/job/schema.ts';
import { metricJob } from '../support/metric-job.ts';
import { isLong } from '../support/series.ts';
import { smallArtwork } from '../support/small-job.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { dropFile } from './drop-file.ts';
import { pageFaults } from './page-faults.ts';
import { axeViolations, passFrames, startWorkstation, type Workstation } from './workstation.ts';

const SIZES = [
  { name: '1280x720', viewport: { width: 1280, height: 720 } },
  { name: '1440x900', viewport: { width: 1440, height: 900 } },
  { name: '1920x1080', viewport: { width: 1920, height: 1080 } },
  { name: '2560x1440', viewport: { width: 2560, height: 1440 } },
  { name: '200-percent', viewport: { width: 720, height: 450 }, deviceScaleFactor: 2 },
] as const;
const THEMES = ['light', 'dark'] as const;
const UNITS = ['mm', 'in'] as const;
const SCREENS = ['bench', 'production', 'sheets', 'output', 'history'] as const;

const WALK_MS = 600_000;

const walks = UNITS.flatMap((unit) =>
  THEMES.flatMap((theme) =>
    SIZES.map((size) => ({ unit, theme, size, name: `${unit}-${theme}-${size.name}` })),
  ),
);
/** A small window is where most goes wrong. */
const sample = walks.filter(({ name }) => name === 'in-light-200-percent');

describeInBrowser('every screen', () => {
  let station: Workstation;
  let demo: Job;

  beforeAll(async () => {
    station = await startWorkstation();
    const context = { clientId: 'setup', signal: new AbortController().signal, report: () => undefined };
    const added = await station.services.handlers['job:demo']({}, context);
    if (!added.ok) throw new Error(added.problem.message);
    const stored = await station.services.archive.jobs.find(added.value.id);
    if (!stored.ok) throw new Error(stored.problem.message);
    demo = JSON.parse(stored.value.document);
    for (const unit of UNITS) {
      const shown = unit === 'mm' ? metricJob(demo) : demo;
      const job = { ...shown, id: `walk-${unit}`, number: `WALK-${unit}` };
      const saved = await station.services.handlers['job:save']({ job, baseRevision: 0 }, context);
      if (!saved.ok) throw new Error(saved.problem.message);
    }
    station.services.releaseClient('setup');
  });
  afterAll(async () => await station.close());

  it.each(isLong ? walks : sample)(
    'is whole and clear: $name',
    async ({ unit, theme, size, name }) => {
      const { viewport } = size;
      const page = await station.window({
        viewport,
        colorScheme: theme,
        bypassCSP: true,
        ...('deviceScaleFactor' in size && { deviceScaleFactor: size.deviceScaleFactor }),
      });
      const found: string[] = [];
      const look = async (stop: string) => {
        await page.mouse.move(0, 0);
        await passFrames(page);
        for (const fault of await pageFaults(page)) found.push(`${stop}: ${fault}`);
        if (isLong)
          for (const violation of await axeViolations(page, [theme])) found.push(`${stop}: ${violation}`);
        await page.emulateMedia({ colorScheme: theme });
        await keepPicture(page, name, stop);
      };
      await look('jobs');
      await page.getByRole('button', { name: 'New job', exact: true }).click();
      await page.getByRole('dialog').waitFor();
      await look('jobs, New job');
      await page.keyboard.press('Escape');
      const actions = page.getByRole('button', { name: /^Actions of/ }).first();
      await actions.click();
      await page.getByRole('menu').waitFor();
      await look('jobs, actions');
      await page.keyboard.press('Escape');
      for (const act of ['Duplicate…', 'Enter the day installed…', 'Delete…']) {
        await actions.click();
        await page.getByRole('menuitem', { name: act }).click();
        await page.getByRole('dialog').waitFor();
        await look(`jobs, ${act.replace('…', '')}`);
        await page.keyboard.press('Escape');
      }
      for (const [keys, stop] of [
        ['Shift+F1', 'shortcuts'],
        ['F1', 'help'],
      ] as const) {
        await page.keyboard.press(keys);
        await page.getByRole('dialog').waitFor();
        await look(stop);
        await page.keyboard.press('Escape');
      }
      for (const screen of ['first-steps', 'glossary', 'about']) {
        await page.evaluate(`location.hash = '#/${screen}'`);
        await page.locator('.reading h1').waitFor();
        await look(screen);
      }
      for (const address of ['shop', `shared-rolls/walk-${unit}`]) {
        await page.evaluate(`location.hash = '#/${address}'`);
        await page.locator('h1').waitFor();
        await awaitQuiet(page);
        await lookDown(page, look, address.split('/')[0]!);
      }
      for (const screen of SCREENS) {
        await page.evaluate(`location.hash = '#/${screen}/walk-${unit}'`);
        await page.locator('h1, .bench, [role=tablist], .sheet-picture').first().waitFor();
        if (screen === 'bench') await page.locator('.panel').first().waitFor({ state: 'attached' });
        if (screen === 'sheets') await page.locator('img.sheet-picture').first().waitFor({ timeout: 60_000 });
        await awaitQuiet(page);
        await lookDown(page, look, screen);
        if (screen === 'bench') {
          await lookAtBench(page, look);
          await lookAtLayouts(page, look);
        }
        const tabs = page.getByRole('tab');
        for (let at = 0; at < (await tabs.count()); at += 1) {
          const tab = tabs.nth(at);
          if ((await tab.getAttribute('aria-selected')) === 'true' || !(await tab.isEnabled())) continue;
          await tab.click();
          await look(`${screen}, ${(await tab.textContent())?.trim()}`);
        }
      }
      await lookAtImport(page, look);
      await page.context().close();
      expect([...new Set(found)]).toEqual([]);
    },
    WALK_MS,
  );
});

type Look = (stop: string) => Promise<void>;

async function awaitQuiet(page: Page): Promise<void> {
  await page.locator('[aria-busy=true]').waitFor({ state: 'detached' });
}

/** As it opens, and at its end where it is longer than the window. */
async function lookDown(page: Page, look: Look, stop: string): Promise<void> {
  await look(stop);
  const isLonger = await page.evaluate<boolean>(
    "(() => { const at = document.querySelector('.screen > .page, .screen'); at?.scrollTo(0, at.scrollHeight); return (at?.scrollTop ?? 0) > 0; })()",
  );
  if (isLonger) await look(`${stop}, its end`);
}

/** What is selected, with its menu, and the tools that show something of their own. */
async function lookAtBench(page: Page, look: Look): Promise<void> {
  const keys = async (...pressed: string[]) => {
    await page.keyboard.press('F6');
    for (const key of pressed) await page.keyboard.press(key);
  };
  await keys('Enter');
  await look('bench, panel');
  await keys('Shift+F10');
  await page.getByRole('menu').waitFor();
  await look('bench, menu of a panel');
  await page.keyboard.press('Escape');
  await keys('w');
  await page.locator('img.picture-pane-whole').first().waitFor({ timeout: 60_000 });
  await look('bench, panel as it prints');
  await page.keyboard.press('Escape');
  await keys('s');
  await look('bench, seam');
  await keys('Escape', 'u', 'Enter');
  await look('bench, guide line');
  await keys('Delete', 'm', 'Enter');
  await page.keyboard.type('300');
  await page.keyboard.press('Tab');
  await look('bench, distance');
  await keys('Escape');
  await page.locator('summary', { hasText: /^View$/ }).click();
  await look('bench, view');
  await page.keyboard.press('Escape');
}

/** A file that was dropped, and the layouts of all its sides. */
async function lookAtImport(page: Page, look: Look): Promise<void> {
  await page.evaluate("location.hash = '#/jobs'");
  await dropFile(page, '.jobs', 'Outreach.pdf', await smallArtwork(2));
  await page.locator('.start-head').waitFor({ timeout: 60_000 });
  await awaitQuiet(page);
  await lookDown(page, look, 'import');
}

/** The panel layouts that are suggested for the side, with what speaks for each. */
async function lookAtLayouts(page: Page, look: Look): Promise<void> {
  await page.getByRole('button', { name: 'Suggest panel layouts', exact: true }).click();
  await page.locator('.plan-table').waitFor({ timeout: 120_000 });
  await look('layouts');
  await page.locator('.plans-main').evaluate('(node) => node.scrollTo(0, node.scrollHeight)');
  await look('layouts, reasons');
  const tabs = page.locator('.plans-aside').getByRole('tab');
  for (let at = 1; at < (await tabs.count()); at += 1) {
    await tabs.nth(at).click();
    await look(`layouts, ${await tabs.nth(at).textContent()}`);
  }
  await page.keyboard.press('Escape');
}

async function keepPicture(page: Page, walk: string, stop: string): Promise<void> {
  const folder = process.env.PANELWRIGHT_PICTURES;
  if (folder === undefined) return;
  await mkdir(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${walk}, ${stop.replace(/[^\w, ]/g, '')}.png`) });
}

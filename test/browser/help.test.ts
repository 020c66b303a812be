/** First steps, help of each screen, glossary, what is new and licenses, as a user sees them. */
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it, vi } from 'vitest';
import { describeInBrowser } from './describe-in-browser.ts';
import { axeViolations, openJobOn, passFrames, startWorkstation, type Workstation } from './workstation.ts';

vi.setConfig({ testTimeout: 120_000 });

describeInBrowser('help', () => {
  let station: Workstation;
  beforeAll(async () => {
    station = await startWorkstation();
  });
  afterAll(async () => await station.close());

  const STEPS = ['Artwork', 'Sides', 'Panel layout', 'Output', 'Your own job'];

  it('leads through the demo job by mouse, offered where there is no job yet, and ends when asked', async () => {
    const page = await station.window({ bypassCSP: true });
    await page.getByRole('button', { name: 'First steps, three minutes' }).click();
    const start = page.getByRole('button', { name: 'Start with the demo job' });
    await start.waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await start.click();
    for (const [at, title] of STEPS.entries()) {
      await page.getByRole('heading', { name: `${at + 1} of 5: ${title}` }).waitFor();
      if (at === 0) expect(await axeViolations(page)).toEqual([]);
      await keepPicture(page, `first-steps-${at + 1}`);
      if (at < STEPS.length - 1)
        await page.getByRole('button', { name: `Next: ${STEPS[at + 1]}`, exact: true }).click();
    }
    await page.reload();
    await page.getByRole('heading', { name: '5 of 5: Your own job' }).waitFor();
    await page.getByRole('button', { name: 'Back', exact: true }).click();
    await page.getByRole('heading', { name: '4 of 5: Output' }).waitFor();
    await page.getByRole('button', { name: 'End the first steps' }).click();
    await page.getByRole('region', { name: 'First steps' }).waitFor({ state: 'detached' });
    await page.reload();
    await page.getByRole('heading', { name: 'Output', exact: true }).waitFor();
    expect(await page.getByRole('region', { name: 'First steps' }).count()).toBe(0);
    await page.context().close();
  });

  it('leads through it by keyboard: each step has the focus and says what it is', async () => {
    const page = await station.window();
    await page.keyboard.press('F1');
    await page.getByRole('dialog', { name: 'Help: Jobs' }).waitFor();
    await tabTo(page, 'First steps');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'First steps', exact: true }).waitFor();
    await tabTo(page, 'Start with the demo job');
    await page.keyboard.press('Enter');
    for (const [at, title] of STEPS.entries()) {
      const heading = page.getByRole('heading', { name: `${at + 1} of 5: ${title}` });
      await heading.waitFor();
      await expect.poll(() => focusedText(page), { timeout: 20_000 }).toBe(`${at + 1} of 5: ${title}`);
      await tabTo(page, at < STEPS.length - 1 ? `Next: ${STEPS[at + 1]}` : 'Go to the jobs');
      await page.keyboard.press('Enter');
    }
    await page.getByRole('heading', { name: 'Jobs', exact: true }).waitFor();
    await page.context().close();
  });

  it('checks the machine, and switches the watched folder on and off', async () => {
    const page = await station.window({ bypassCSP: true });
    await page.evaluate("location.hash = '#/about'");
    await page.getByRole('button', { name: 'Check this machine' }).click();
    await page.getByText('The typefaces of sheets and marks can be read.').waitFor();
    await page.getByRole('button', { name: 'Watch a folder…' }).click();
    await page.getByText(`${station.outputFolder} is watched.`).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await keepPicture(page, 'this-machine');
    await page.getByRole('button', { name: 'Stop watching' }).click();
    await page.getByText('No folder is watched.').waitFor();
    await page.context().close();
  });

  it('says on each screen what it is for, with the keys of its commands', async () => {
    await station.smallJobAdded();
    const page = await station.window({ bypassCSP: true });
    const screens = ['bench', 'production', 'sheets', 'output', 'history'];
    const titles = ['Bench', 'Production', 'Sheets', 'Output', 'History'];
    for (const [at, screen] of screens.entries()) {
      await page.evaluate(`location.hash = '#/${screen}/small-job'`);
      await page
        .getByRole('link', { name: titles[at]!, exact: true })
        .and(page.locator('[aria-current]'))
        .waitFor();
      await page.keyboard.press('F1');
      const dialog = page.getByRole('dialog', { name: `Help: ${titles[at]}` });
      await dialog.waitFor();
      if (screen === 'bench') {
        expect(await dialog.locator('kbd').allTextContents()).toContain('W');
        expect(await axeViolations(page)).toEqual([]);
        await keepPicture(page, 'help-bench');
      }
      await page.keyboard.press('Escape');
      await dialog.waitFor({ state: 'detached' });
    }
    for (const [screen, title] of [
      ['jobs', 'Jobs'],
      ['shop', 'Shop'],
      ['glossary', 'Glossary'],
      ['about', 'About Panelwright'],
    ] as const) {
      await page.evaluate(`location.hash = '#/${screen}'`);
      await page.keyboard.press('F1');
      await page.getByRole('dialog', { name: `Help: ${title}` }).waitFor();
      expect(await axeViolations(page)).toEqual([]);
      await page.keyboard.press('Escape');
    }
    await page.context().close();
  });

  it('explains a term where it stands, by mouse and by keyboard, in the units of the job', async () => {
    await station.smallJobAdded({ id: 'inch-job', number: 'IN-1', displayUnit: 'in' });
    const page = await station.window({ bypassCSP: true });
    await openJobOn(page, 'IN-1');
    const head = page.locator('.panel-table').getByRole('button', { name: 'Size on roll' });
    await head.click();
    const card = page.locator('.term-card:popover-open');
    await card.getByText('The whole piece of film of a panel').waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await keepPicture(page, 'term');
    await page.keyboard.press('Escape');
    await card.waitFor({ state: 'detached' });
    await page.getByRole('tab', { name: 'Side', exact: true }).click();
    const sign = page
      .getByRole('button', { name: 'Glossary: Bleed' })
      .or(page.locator('h2').getByRole('button', { name: 'Bleed' }));
    await sign.first().focus();
    await page.keyboard.press('Enter');
    await card.getByText('2 to 4 in').waitFor();
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await page.locator('.reading [aria-current]').getByText('Bleed', { exact: true }).waitFor();
    expect(page.url()).toContain('#/glossary/bleed');
    await page.context().close();
  });

  it('has a glossary that is searched', async () => {
    const page = await station.window({ bypassCSP: true });
    await page.evaluate("location.hash = '#/glossary'");
    const search = page.getByLabel('Search the glossary');
    await search.waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await keepPicture(page, 'glossary');
    await search.fill('trim-off');
    await expect.poll(() => page.locator('.reading dt').first().textContent()).toBe('Trim-off');
    await page.context().close();
  });

  it('names version and licenses, and tells of news once after an update, never at the first start', async () => {
    const page = await station.window({ bypassCSP: true });
    expect(await page.getByRole('dialog').count()).toBe(0);
    await page.evaluate("location.hash = '#/about'");
    await page.getByText('preact', { exact: false }).first().waitFor();
    await page.locator('summary', { hasText: /^preact \d/ }).click();
    await page.locator('details[open] pre', { hasText: 'Permission is hereby granted' }).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await keepPicture(page, 'about');
    await page.evaluate(
      "localStorage.setItem('panelwright-settings', JSON.stringify({ ...JSON.parse(localStorage.getItem('panelwright-settings')), seenVersion: '0.0.9' }))",
    );
    await page.reload();
    const news = page.getByRole('dialog', { name: /^What is new in / });
    await news.waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await keepPicture(page, 'what-is-new');
    await page.keyboard.press('Escape');
    await news.waitFor({ state: 'detached' });
    await page.reload();
    await page.getByRole('heading', { name: 'Licenses' }).waitFor();
    expect(await news.count()).toBe(0);
    await page.context().close();
  });
});

const focusedText = (page: Page) => page.evaluate<string>("document.activeElement?.textContent ?? ''");

/** Tab after Tab until the focus is on what has this text. */
async function tabTo(page: Page, text: string): Promise<void> {
  for (let presses = 0; presses < 60; presses++) {
    await page.keyboard.press('Tab');
    if ((await focusedText(page)) === text) return;
  }
  throw new Error(`The keyboard does not reach ${text}`);
}

/** In both themes and at 200 %, into the folder that PANELWRIGHT_PICTURES names. */
async function keepPicture(page: Page, name: string): Promise<void> {
  const folder = process.env.PANELWRIGHT_PICTURES;
  if (folder === undefined) return;
  await mkdir(folder, { recursive: true });
  const before = page.viewportSize()!;
  for (const [size, viewport] of [
    ['1280', { width: 1280, height: 720 }],
    ['200', { width: 640, height: 360 }],
  ] as const) {
    await page.setViewportSize(viewport);
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      await passFrames(page);
      await page.screenshot({ path: join(folder, `${name}-${size}-${colorScheme}.png`) });
    }
  }
  await page.emulateMedia({ colorScheme: null });
  await page.setViewportSize(before);
}

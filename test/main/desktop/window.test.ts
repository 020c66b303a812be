/**
 * The program as it is built, running in a stand-in for Electron, in a folder with a space and an umlaut in its name. Its
 * window is a page of Chromium with the real preload.
 */
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { MENU_KEYS } from '../../../core/contract/screen-message.ts';
import { ASK_CHANNEL, CANCEL_CHANNEL } from '../../../main/desktop/channels.ts';
import { closeShared, openChromium } from '../../browser/workstation.ts';
import { builtProgram } from '../../support/built-program.ts';
import { DesktopRun } from '../../support/electron/desktop-run.ts';
import { smallBundle } from '../../support/job-bundle.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { testServices } from '../../support/test-services.ts';
import { describeWithTools } from '../../support/tools.ts';

const place = mkdtempSync(join(tmpdir(), 'panelwright Straße '));
const appFolder = join(place, 'dist');
const runs: DesktopRun[] = [];
let browser: Browser;
let bundles: string[];
const kept = join(place, 'backups');

function start(
  home: string,
  more: { readonly args?: string[]; readonly openFile?: string } = {},
): DesktopRun {
  mkdirSync(home, { recursive: true });
  const run = new DesktopRun({ appFolder, home, browser, ...more });
  runs.push(run);
  return run;
}

/** Machines are slow at times. */
const soon = <T>(read: () => T | Promise<T>) => expect.poll(read, { timeout: 20_000 });

const archiveOf = (home: string) => join(home, '.local/share/panelwright/archive');
const settingsOf = (home: string) => join(home, '.config/Panelwright');
const onBench = (page: Page, number: string) =>
  page
    .locator('.header-job', { hasText: number })
    .and(page.locator('.app:has(.panel) .header-job'))
    .waitFor();

async function jobOf(home: string, id: string) {
  const services = await testServices(archiveOf(home));
  const { job } = await new ServiceClient(services).reply('job:open', { id });
  await services.close();
  return job;
}

describeWithTools(['chromium'], 'the desktop window', () => {
  beforeAll(async () => {
    mkdirSync(kept);
    cpSync(await builtProgram(), appFolder, { recursive: true });
    symlinkSync(resolve(import.meta.dirname, '../../../node_modules'), join(place, 'node_modules'));
    bundles = [
      await smallBundle(join(place, 'jobs'), { id: 'job-one', number: 'ONE-1' }),
      await smallBundle(join(place, 'jobs'), { id: 'job-two', number: 'TWO-2' }),
    ];
    browser = await openChromium();
  });
  afterAll(async () => {
    for (const run of runs) run.kill();
    await closeShared();
    rmSync(place, { recursive: true });
  });

  describe('started on a job file', () => {
    const home = join(place, 'first home');
    let run: DesktopRun;
    let page: Page;

    it('shows its job', async () => {
      run = start(home, { args: [bundles[0]!] });
      page = await run.page();
      await onBench(page, 'ONE-1');
    });

    it('shows the job of a second start, which ends at once', async () => {
      const second = start(home, { args: ['--some-switch', bundles[1]!] });
      expect(await second.exited).toEqual({ code: 0, signal: null });
      expect(second.told.some(({ kind }) => kind === 'window')).toBe(false);
      await onBench(page, 'TWO-2');
    });

    it('quits in order, with what was changed a moment before', async () => {
      await run.press('Control+u');
      run.quit();
      expect(await run.exited).toEqual({ code: 0, signal: null });
      expect(readdirSync(archiveOf(home)).filter((name) => /-(wal|shm)$/.test(name))).toEqual([]);
      expect(JSON.parse(readFileSync(join(settingsOf(home), 'window.json'), 'utf8'))).toMatchObject({
        width: 1280,
      });
      const logs = join(settingsOf(home), 'logs');
      const log = readdirSync(logs)
        .map((name) => readFileSync(join(logs, name), 'utf8'))
        .join('');
      expect(log).toMatch(/^\S+Z Start: \{.*"electron":"45/);
      expect(log).toMatch(/Z Quit: "closed"\n$/);
      expect(log).not.toMatch(/ONE-1|TWO-2/);
      expect((await jobOf(home, 'job-two')).displayUnit).toBe('in');
      expect(run.troubles).toEqual([]);
    });
  });

  describe('started by the double click of a Mac', () => {
    const home = join(place, 'second home');
    let run: DesktopRun;
    let page: Page;
    const customer = () => page.getByLabel('Customer', { exact: true });
    const isInches = () => page.getByRole('radio', { name: 'Inches' }).isChecked();

    it('shows the job that came before it was ready', async () => {
      run = start(home, { openFile: bundles[0]! });
      page = await run.page();
      await onBench(page, 'ONE-1');
      const told = run.told.map(({ kind }) => kind);
      expect(told.indexOf('entry-settled')).toBeLessThan(told.indexOf('ready'));
      expect(told.indexOf('ready')).toBeLessThan(told.indexOf('window'));
    });

    it.each([
      ['the menu', () => run.click('Edit', 'Undo'), () => run.click('Edit', 'Redo')],
      ['the keys', () => run.press('Control+z'), () => run.press('Control+y')],
    ])('undoes what is typed while a field has the focus, else the job: %s', async (_by, undo, redo) => {
      await page.getByRole('radio', { name: 'Inches' }).check();
      const before = await customer().inputValue();
      await customer().focus();
      await page.keyboard.type('X');
      await undo();
      await soon(() => customer().inputValue()).toBe(before);
      expect(await isInches()).toBe(true);
      await page.locator('.bench-area').focus();
      await undo();
      await soon(isInches).toBe(false);
      await redo();
      await soon(isInches).toBe(true);
    });

    it.each([
      ['the menu', () => run.click('Edit', 'Select all')],
      ['the keys', () => run.press('Control+a')],
    ])('selects the text of a field, or all seams on the canvas: %s', async (_by, selectAll) => {
      await customer().focus();
      await selectAll();
      const selected = () => page.evaluate<string>('String(getSelection())');
      await soon(selected).toBe('Alder County Library');
      await page.locator('.bench-area').focus();
      await selectAll();
      await customer().waitFor({ state: 'detached' });
      await page.keyboard.press('Escape');
      await page.getByRole('tab', { name: 'Job', exact: true }).click();
    });

    it.each([
      ['the menu', () => run.click('View', 'Millimeters or inches')],
      ['the keys', () => run.press('Control+u')],
    ])('leaves a dialog alone: %s', async (_by, act) => {
      await run.click('help', 'Shortcuts');
      const dialog = page.locator('dialog[open]');
      await dialog.waitFor();
      // The last lines of its output, without the regular ones before them.
      const roll = () => page.locator('.bench-status > span').last().textContent();
      const unit = await roll();
      await act();
      expect(await roll()).toBe(unit);
      await page.keyboard.press('Escape');
      await dialog.waitFor({ state: 'detached' });
    });

    it('hears its own screens alone', async () => {
      const message = { verb: 'job:list', request: {}, ticket: 99 };
      const own = { url: 'panelwright://screens/#/jobs', isInner: false };
      const invoke = (frame: typeof own | null) =>
        run.ask({ kind: 'invoke', id: 1, frame, channel: ASK_CHANNEL, args: [message] });
      expect(await invoke(own)).toMatchObject({ ok: true });
      for (const frame of [
        { url: 'https://example.org/', isInner: false },
        { url: 'panelwright://screens.example.org/', isInner: false },
        { ...own, isInner: true },
        null,
      ]) {
        expect(await invoke(frame)).toMatchObject({ ok: false, problem: { code: 'bad-request' } });
      }
      run.post({
        kind: 'sent',
        id: 1,
        frame: { url: 'https://example.org/', isInner: false },
        channel: CANCEL_CHANNEL,
        args: [99],
      });
      await page.evaluate("location.href = 'https://example.org/'");
      await soon(() => run.refused).toEqual(['https://example.org/']);
      expect(await page.evaluate<string>('location.hash')).toContain('#/bench/');
    });

    it('comes back where it was when its screens crash, with a sentence', async () => {
      await run.window().crash();
      await soon(() => run.window().page !== page).toBe(true);
      page = run.window().page!;
      await onBench(page, 'ONE-1');
      await page.getByRole('alert').filter({ hasText: 'loaded again' }).waitFor();
      // The job is not taken for one that another window has open.
      await customer().fill('County Library');
      await page.keyboard.press('Tab');
      await page.locator('.header-save', { hasText: /^Saved$/ }).waitFor();
    });

    it('backs the archive up, checks it, and puts the backup in its place', async () => {
      run.answers = () => ({ canceled: false, filePaths: [kept] });
      await run.click('Archive', 'Back up…');
      await page.getByText(/^The backup is written: 1 job and 1 file/).waitFor();
      await run.click('Archive', 'Check');
      await page.getByText(/^The archive is sound: 1 job and 1 file/).waitFor();
      await page.getByRole('link', { name: 'ONE-1', exact: true }).first().click();
      await customer().fill('Somebody else');
      await page.keyboard.press('Tab');
      await page.locator('.header-save', { hasText: /^Saved$/ }).waitFor();

      const [backup] = readdirSync(kept);
      const questions: unknown[] = [];
      run.answers = (name, options) => {
        if (name === 'showOpenDialog') return { canceled: false, filePaths: [join(kept, backup!)] };
        questions.push(options.detail);
        return { response: 1, checkboxChecked: false };
      };
      await run.click('Archive', 'Restore a backup…');
      await soon(() => run.window().page !== page).toBe(true);
      page = run.window().page!;
      await page.getByText('The backup is restored.').waitFor();
      expect(questions).toEqual([expect.stringMatching(/^It has 1 job and 1 file, all sound/)]);
      await page.getByRole('link', { name: 'ONE-1', exact: true }).first().click();
      await soon(() => customer().inputValue()).toBe('County Library');
      const aside = readdirSync(join(archiveOf(home), '..')).filter((name) => name.includes('set-aside'));
      expect(aside).toHaveLength(1);
    });

    it('knows each command of the menu', async () => {
      run.answers = () => ({ canceled: true, filePaths: [] });
      const clicked = await run.clickAll();
      expect(clicked).toBeGreaterThanOrEqual(Object.keys(MENU_KEYS).length);
      await page.locator('dialog[open]').first().waitFor();
      expect(run.troubles).toEqual([]);
    });

    it('ends when its window is closed', async () => {
      run.post({ kind: 'close', id: 1 });
      expect(await run.exited).toEqual({ code: 0, signal: null });
    });
  });

  it('puts a backup in the place of a damaged archive, when the user says so', async () => {
    const home = join(place, 'third home');
    mkdirSync(archiveOf(home), { recursive: true });
    writeFileSync(join(archiveOf(home), 'archive.sqlite'), 'not a database'.repeat(999));
    const asked: unknown[] = [];
    const answering = (response: number) => {
      const run = start(home);
      run.answers = (name, { buttons }) => {
        if (name === 'showOpenDialog')
          return { canceled: false, filePaths: [join(kept, readdirSync(kept)[0]!)] };
        asked.push(buttons);
        return { response, checkboxChecked: false };
      };
      return run;
    };
    expect(await answering(0).exited).toEqual({ code: 0, signal: null });
    expect(existsSync(join(archiveOf(home), 'archive.sqlite'))).toBe(true);
    const run = answering(1);
    const page = await run.page();
    await page.getByRole('link', { name: 'ONE-1', exact: true }).first().waitFor();
    const question = ['Quit', 'Restore a backup…', 'Begin a new archive'];
    expect(asked).toEqual([question, question, ['Cancel', 'Restore']]);
    run.quit();
    expect(await run.exited).toEqual({ code: 0, signal: null });
  });
});

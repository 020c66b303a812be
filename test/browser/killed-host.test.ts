/** The program is killed at the worst moments; after a restart only work under way is missing. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { createInterface } from 'node:readline';
import type { BrowserContext, Page } from 'playwright-core';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Job, Joint } from '../../core/job/schema.ts';
import type { Archive } from '../../main/archive/port.ts';
import { isPartial } from '../../main/files/atomic-write.ts';
import { saveJob } from '../../main/services/save-job.ts';
import { flateArt } from '../bench/cut/art.ts';
import { smallArtwork, smallJob } from '../support/small-job.ts';
import { testArchive } from '../support/test-archive.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { awaitSaved, clickBench, dragBench, openChromium, openJobOn, screensBuilt } from './workstation.ts';

describeInBrowser('after the host was killed', () => {
  let folder: string;
  const contexts: BrowserContext[] = [];
  let host: ChildProcess | undefined;

  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), 'panelwright-killed-'));
  });
  afterEach(async () => {
    await Promise.all(contexts.splice(0).map((context) => context.close()));
    await killHost();
    await rm(folder, { recursive: true, force: true });
  });

  /** Answers with an address that works once. */
  async function startHostAlone(port = '0'): Promise<string> {
    const script = join(import.meta.dirname, 'host-process.ts');
    host = spawn(process.execPath, [script, await screensBuilt(), folder, port], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    const [url] = (await once(createInterface(host.stdout!), 'line')) as [string];
    return url;
  }

  async function startHost(): Promise<Page> {
    const url = await startHostAlone();
    const context = await (await openChromium()).newContext({ viewport: { width: 1280, height: 800 } });
    contexts.push(context);
    const page = await context.newPage();
    page.setDefaultTimeout(30_000);
    await page.goto(url);
    await page.getByRole('heading', { name: 'Jobs', exact: true }).waitFor();
    return page;
  }

  /** No program gets to do anything about SIGKILL. */
  async function killHost(): Promise<void> {
    if (!host || host.exitCode !== null || host.signalCode !== null) return;
    host.kill('SIGKILL');
    await once(host, 'exit');
  }

  /** Looks into the archive while no host has it open. */
  async function archived<T>(look: (archive: Archive) => T | Promise<T>): Promise<T> {
    const archive = await testArchive(join(folder, 'archive'));
    try {
      return await look(archive);
    } finally {
      await archive.close();
    }
  }

  async function addJob(over: Partial<Job> = {}): Promise<void> {
    const path = join(folder, 'small.pdf');
    await writeFile(path, await smallArtwork());
    await archived(async (archive) => {
      const kept = await archive.vault.add(path);
      const job = smallJob({ artwork: { fileName: 'small.pdf', box: 'trim', ...kept }, ...over });
      expect(await saveJob(archive, job, '2026-03-09T08:00:00Z', 0)).toMatchObject({
        ok: true,
      });
    });
  }

  const job = (): Promise<Job> =>
    archived(async (archive) => {
      const stored = await archive.jobs.find('small-job');
      if (!stored.ok) throw new Error(stored.problem.message);
      return JSON.parse(stored.value.document) as Job;
    });

  const joints = ({ sides }: Job): readonly Joint[] =>
    sides[0]!.layout.kind === 'split' ? sides[0]!.layout.joints : [];

  /** Unfinished files, and problems that the database reports itself. */
  const leftovers = (): Promise<readonly string[]> =>
    archived(async (archive) => {
      const files = await readdir(folder, { recursive: true });
      const { databaseTrouble, absent, damaged } = await archive.checks.checkAll({
        signal: new AbortController().signal,
        report: () => undefined,
      });
      return [
        // Previews are swept by the next host that starts.
        ...files.filter((path) => isPartial(basename(path)) && !path.startsWith('archive/previews/')),
        ...databaseTrouble,
        ...[...absent, ...damaged].map(({ name }) => name),
      ];
    });

  async function cutSecondPanel(page: Page): Promise<void> {
    await clickBench(page, 2300, 500);
    await page.getByLabel('Cut at, from the left of the side').fill('2111');
    await page.keyboard.press('Enter');
  }

  it('in the middle of an edit, the job has every edit but that one; of a save, it is as before or as after it', async () => {
    await addJob();
    const page = await startHost();
    await openJobOn(page, 'SJ-7');
    await dragBench(page, [1330, 900], [1207, 900], { isFree: true });
    await awaitSaved(page);
    await cutSecondPanel(page);
    await killHost();
    await page.getByText('The program behind this page does not answer.').first().waitFor();

    const after = joints(await job());
    expect(after).toHaveLength(1);
    expect(after[0]!.atMm).toBeCloseTo(1207, -1);
    expect(await leftovers()).toEqual([]);
    const again = await startHost();
    await openJobOn(again, 'SJ-7');
    expect(await again.locator('.panel-table tbody tr').count()).toBe(2);

    const saving = again.waitForRequest('**/ask/job%3Asave');
    await cutSecondPanel(again);
    await saving;
    await killHost();
    expect([1, 2]).toContain(joints(await job()).length);
    expect(await leftovers()).toEqual([]);
  });

  it('and started again, the tab that was left says how to get back in, and goes on', async () => {
    await addJob();
    const page = await startHost();
    await openJobOn(page, 'SJ-7');
    await killHost();
    const address = await startHostAlone(new URL(page.url()).port);
    await dragBench(page, [1330, 900], [1207, 900], { isFree: true });
    await page.getByText('This tab is not connected to Panelwright').waitFor();
    await page.getByText('open the address that appears').waitFor();
    await page.locator('.header-save', { hasText: 'Not saved' }).waitFor();
    // As when a person enters the address in the bar of the open tab: nothing is reloaded.
    await page.evaluate(`location.hash = ${JSON.stringify(new URL(address).hash)}`);
    await page.waitForURL(/#\/bench\/small-job$/);
    await page.getByRole('button', { name: 'Save again' }).click();
    await awaitSaved(page);
    expect(joints(await job())[0]!.atMm).toBeCloseTo(1207, -1);

    const stranger = await page.context().newPage();
    await stranger.goto(new URL(page.url()).origin);
    await stranger.getByText('This tab is not connected to Panelwright').waitFor();
  });

  it('in the middle of an import, while it is handed over or read, the job takes the artwork the next time', async () => {
    const { artwork: _, ...without } = smallJob();
    await archived(async (archive) => {
      expect(await saveJob(archive, without, '2026-03-09T08:00:00Z', 0)).toMatchObject({
        ok: true,
      });
    });
    const art = join(folder, 'art.pdf');
    flateArt(art, { columns: 9000, rows: 1500 });
    const openImporting = async (page: Page) => {
      await page.getByRole('link', { name: 'SJ-7', exact: true }).first().click();
      const choosing = page.waitForEvent('filechooser');
      await page.getByRole('button', { name: 'Import artwork' }).first().click();
      await (await choosing).setFiles(art);
    };
    for (const words of ['Handing over', 'Reading the artwork']) {
      const page = await startHost();
      await openImporting(page);
      await page.locator('.progress', { hasText: words }).waitFor();
      await killHost();
      expect((await job()).artwork).toBeUndefined();
    }

    const again = await startHost();
    await openImporting(again);
    await again.locator('.progress').waitFor();
    await again.locator('.progress').waitFor({ state: 'detached' });
    await awaitSaved(again);
    await killHost();
    expect((await job()).artwork).toMatchObject({ fileName: 'art.pdf' });
    expect(await leftovers()).toEqual([]);
  });

  it('in the middle of an output, no file looks finished, and the next output is whole', async () => {
    await addJob();
    const target = join(folder, 'output', 'SJ-7');
    const beginOutput = async (page: Page, hasMap: boolean) => {
      await openJobOn(page, 'SJ-7');
      await page.getByRole('link', { name: 'Output' }).click();
      // It takes longer than all the rest, long enough to be seen.
      await page.getByLabel('Install map', { exact: true }).setChecked(hasMap);
      await page.getByRole('button', { name: 'Select a folder and write' }).click();
    };
    const page = await startHost();
    await beginOutput(page, true);
    await page.locator('.progress', { hasText: /Cutting|Drawing the sheets/ }).waitFor();
    await killHost();
    const shown = (await readdir(target, { recursive: true })).filter(
      (path) => !path.split('/').some(isPartial),
    );
    expect(shown).toEqual([]);
    expect(await archived((archive) => archive.outputs.list('small-job'))).toEqual([]);

    const again = await startHost();
    await beginOutput(again, false);
    await again.getByRole('heading', { name: /^Output \d+$/ }).waitFor({ timeout: 60_000 });
    await killHost();
    // The number of the one that was killed is given to no other.
    expect((await readdir(target)).sort()).toEqual(['current', expect.stringMatching(/^output-[12]$/)]);
    expect(await archived(async (archive) => (await archive.outputs.list('small-job')).length)).toBe(1);
    expect(await leftovers()).toEqual([]);
    // Two hosts start, and two outputs are begun: a busy machine takes its time.
  }, 240_000);
});

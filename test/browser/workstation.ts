/**
 * The screens as a person has them: built, served by the loopback host on a real archive, shown in Chromium.
 * Each start has an archive and an output folder, each window a browser profile of its own.
 */
import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { promisify } from 'node:util';
import {
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  chromium,
  type Page,
} from 'playwright-core';
import type { Job } from '../../core/job/schema.ts';
import type { LoopbackHost } from '../../main/loopback/host.ts';
import type { Services } from '../../main/services/services.ts';
import { forkTaskProcess } from '../../main/tasks/forked-process.ts';
import { ProcessTasks, type TaskRunner } from '../../main/tasks/task-runner.ts';
import { keptFixture } from '../support/kept-fixture.ts';
import { smallArtwork, smallJob } from '../support/small-job.ts';
import { startFolderHost } from './folder-host.ts';

export const CHROMIUM_ARGS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  // No process is kept ready for a page that is never opened. Only the last switch of this kind counts, so it repeats
  // those that Playwright turns off and loopback pages meet.
  '--disable-features=SpareRendererForSitePerProcess,HttpsUpgrades,HttpsFirstBalancedModeAutoEnable,PaintHolding,AvoidUnnecessaryBeforeUnloadCheckSync,DestroyProfileOnBrowserClose,MediaRouter,OptimizationHints',
];

export interface Workstation {
  readonly services: Services;
  readonly host: LoopbackHost;
  readonly folder: string;
  readonly outputFolder: string;
  /** A window of its own, already at the list of jobs. What went wrong in it fails the test at `close`. */
  window(options?: BrowserContextOptions): Promise<Page>;
  /** Puts a job with the small artwork into the archive. */
  smallJobAdded(over?: Partial<Job>): Promise<Job>;
  /** Ends the program and starts it again on the same archive; windows are closed. */
  restarted(): Promise<Workstation>;
  close(): Promise<void>;
}

export const CHROMIUM = process.env.PANELWRIGHT_CHROMIUM ?? '/usr/bin/chromium';

let shared: Promise<Browser> | undefined;
/** Processes for heavy work: they outlive a workstation, because starting one takes longer than most tests. */
const taskProcesses: ProcessTasks[] = [];

/** One Chromium for all windows of a test process, each of which has a profile of its own. It ends with the process. */
export function openChromium(): Promise<Browser> {
  shared ??= chromium.launch({ executablePath: CHROMIUM, args: CHROMIUM_ARGS });
  return shared;
}

/** Ends what the windows of a test process share. */
export async function closeShared(): Promise<void> {
  const browser = await shared;
  shared = undefined;
  await Promise.all([browser?.close(), ...taskProcesses.splice(0).map((tasks) => tasks.close())]);
}

/** On a busy machine, a task notices a cancel later than a person would wait. */
const PATIENCE_MS = 60_000;

/** Runners of one workstation: each its own process, of which the next workstation uses the same ones. */
function lentTasks(): () => TaskRunner {
  let count = 0;
  return () => {
    const at = count++;
    taskProcesses[at] ??= new ProcessTasks(forkTaskProcess, PATIENCE_MS);
    return {
      run: (...task) => taskProcesses[at]!.run(...task),
      warm: () => undefined,
      close: async () => undefined,
    };
  };
}

const SCREEN_SOURCES = [
  'core',
  'renderer',
  'assets',
  'vite.config.ts',
  'package.json',
  'CHANGELOG.md',
  '.ci/package-licenses.ts',
];

/** Builds the screens outside the process of the test: the bundler is native code. */
export const screensBuilt = (): Promise<string> =>
  keptFixture('screens', SCREEN_SOURCES, async (folder) => {
    const root = resolve(import.meta.dirname, '../..');
    await promisify(execFile)(
      process.execPath,
      [join(root, 'node_modules/vite/bin/vite.js'), 'build', '--logLevel', 'error', '--outDir', folder],
      { cwd: root, env: { ...process.env, NODE_ENV: 'production' } },
    );
  });

/** `isFirstStart`: the shop was not set up yet. */
export async function startWorkstation(at?: string, isFirstStart = false): Promise<Workstation> {
  const screensFolder = await screensBuilt();
  const folder = at ?? (await mkdtemp(join(tmpdir(), 'panelwright-browser-')));
  const { services, host, outputFolder } = await startFolderHost(
    screensFolder,
    folder,
    lentTasks(),
    0,
    isFirstStart,
  );
  const contexts: BrowserContext[] = [];
  const troubles: string[] = [];

  return {
    services,
    host,
    folder,
    outputFolder,
    async window(options = {}) {
      const browser = await openChromium();
      const context = await browser.newContext({
        viewport: { width: 1280, height: 800 },
        ...options,
      });
      contexts.push(context);
      const page = await context.newPage();
      page.setDefaultTimeout(20_000);
      page.on('pageerror', (error) => troubles.push(error.stack ?? error.message));
      page.on('console', (message) => {
        if (message.type() === 'error') troubles.push(message.text());
      });
      await page.goto(host.entryAddress());
      await page
        .getByRole('heading', { name: isFirstStart ? 'Set up your shop' : 'Jobs', exact: true })
        .waitFor();
      return page;
    },
    async smallJobAdded(over = {}) {
      const path = join(folder, 'small.pdf');
      await writeFile(path, await smallArtwork());
      const kept = await services.archive.vault.add(path);
      const job = smallJob({
        artwork: { fileName: 'small.pdf', sha256: kept.sha256, sizeBytes: kept.sizeBytes, box: 'trim' },
        ...over,
      });
      const context = { clientId: 'setup', signal: new AbortController().signal, report: () => undefined };
      const saved = await services.handlers['job:save']({ job, baseRevision: 0 }, context);
      if (!saved.ok) throw new Error(saved.problem.message);
      services.releaseClient('setup');
      return job;
    },
    async restarted() {
      await ended();
      return await startWorkstation(folder);
    },
    async close() {
      await ended();
      await rm(folder, { recursive: true, force: true });
      if (troubles.length > 0) throw new Error(`The page reported:\n${troubles.join('\n')}`);
    },
  };

  async function ended(): Promise<void> {
    await Promise.all(contexts.splice(0).map((context) => context.close()));
    await host.close();
    await services.close();
  }
}

/** Opens a job from the list. */
/** An act on a job in the list, by the menu of its row. */
export async function chooseJobAct(page: Page, number: string, act: string): Promise<void> {
  await page.getByRole('button', { name: `Actions of ${number}`, exact: true }).click();
  await page.getByRole('menuitem', { name: act }).click();
}

export async function openJobOn(page: Page, number: string): Promise<void> {
  await page.getByRole('link', { name: number, exact: true }).first().click();
  await page.locator('.bench').waitFor();
  await page.locator('.panel').first().waitFor({ state: 'attached' });
}

/** Where a point of the one side on the bench is on the screen. */
export async function benchPoint(page: Page, xMm: number, yMm: number): Promise<{ x: number; y: number }> {
  const box = (await page.locator('.bench-area').boundingBox())!;
  const transform = (await page.locator('.bench-lines svg > g').getAttribute('transform'))!;
  const [k, , , , tx, ty] = transform.match(/-?[\d.]+(?:e-?\d+)?/g)!.map(Number) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  return { x: box.x + tx + xMm * k, y: box.y + ty + yMm * k };
}

/** Presses at one point of the side and lets go at another. */
export async function dragBench(
  page: Page,
  from: readonly [number, number],
  to: readonly [number, number],
  options: { readonly isFree?: boolean } = {},
): Promise<void> {
  const [start, end] = [await benchPoint(page, ...from), await benchPoint(page, ...to)];
  await page.mouse.move(start.x, start.y);
  await page.mouse.down();
  if (options.isFree) await page.keyboard.down('Alt');
  await page.mouse.move((start.x + end.x) / 2, (start.y + end.y) / 2, { steps: 4 });
  await page.mouse.move(end.x, end.y, { steps: 4 });
  await passFrames(page);
  await page.mouse.up();
  if (options.isFree) await page.keyboard.up('Alt');
  await passFrames(page);
}

export async function clickBench(page: Page, xMm: number, yMm: number): Promise<void> {
  const at = await benchPoint(page, xMm, yMm);
  await page.mouse.move(at.x, at.y);
  await passFrames(page);
  await page.mouse.down();
  await page.mouse.up();
  await passFrames(page);
}

/** Lets the page draw what has changed. */
export async function passFrames(page: Page): Promise<void> {
  await page.evaluate(
    'new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done())))',
  );
}

export async function awaitSaved(page: Page): Promise<void> {
  // Until the edit is drawn, the page may still say “Saved” of the edit before.
  await passFrames(page);
  await page.locator('.header-save', { hasText: /^Saved$/ }).waitFor();
}

/** The job as the archive has it. */
export async function archivedJob(station: Workstation, id: string): Promise<Job> {
  const stored = await station.services.archive.jobs.find(id);
  if (!stored.ok) throw new Error(stored.problem.message);
  return JSON.parse(stored.value.document) as Job;
}

/** The text as a person sees it there, in its layout. */
export async function seenText(page: Page, selector: string): Promise<string> {
  return await page.evaluate<string>(`document.querySelector(${JSON.stringify(selector)}).innerText`);
}

interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly help: string;
    readonly nodes: readonly { readonly html: string; readonly failureSummary?: string }[];
  }[];
}

/** All rules look at the light theme. What they find in the dark one can differ by color alone. */
const AXE_OPTIONS = {
  light: {},
  dark: { runOnly: { type: 'rule', values: ['color-contrast', 'link-in-text-block'] } },
} as const;

/** What axe-core finds on the page in the themes, one line each; the window must have been opened with `bypassCSP`. */
export async function axeViolations(
  page: Page,
  themes: readonly (keyof typeof AXE_OPTIONS)[] = ['light', 'dark'],
): Promise<readonly string[]> {
  if (!(await page.evaluate('"axe" in window'))) {
    await page.addScriptTag({ path: createRequire(import.meta.url).resolve('axe-core/axe.min.js') });
  }
  const found: string[] = [];
  for (const colorScheme of themes) {
    await page.emulateMedia({ colorScheme });
    await passFrames(page);
    const options = JSON.stringify({ ...AXE_OPTIONS[colorScheme], resultTypes: ['violations'] });
    const { violations } = await page.evaluate<AxeResult>(`axe.run(document, ${options})`);
    for (const { id, help, nodes } of violations) {
      for (const { html, failureSummary } of nodes)
        found.push(`${colorScheme}, ${id}: ${help}\n${html.slice(0, 200)}\n${failureSummary ?? ''}`);
    }
  }
  await page.emulateMedia({ colorScheme: null });
  return found;
}

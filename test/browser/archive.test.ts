import { readdir, readFile, utimes, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { sideSet } from '../../core/job/edits/edits.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../../core/shop/artwork-limits.ts';
import { databasePath } from '../../main/archive/database.ts';
import { addManyJobs } from '../support/many-jobs.ts';
import { rawPdf } from '../support/raw-pdf.ts';
import { smallJob } from '../support/small-job.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import {
  archivedJob,
  awaitSaved,
  axeViolations,
  chooseJobAct,
  dragBench,
  openJobOn,
  startWorkstation,
  type Workstation,
} from './workstation.ts';

/** Text that people and programs put into names: markup, control characters, right to left, emoji; and a great deal of it. */
const ODD_TEXT = [
  '<img src=x onerror="document.title=1"><script>document.title=1</script>',
  'Alder\u0000\u0007\u001b[31mCounty\u2028Library',
  '📚🚐 Bücherbus 👩🏽‍🏫',
  'مكتبة مقاطعة ألدر \u202eyrarbiL',
]
  .join(' ')
  .padEnd(10_000, ' Wandering');

describeInBrowser('from the bench to the archive', () => {
  let station: Workstation;

  beforeEach(async () => {
    station = await startWorkstation();
  });
  afterEach(async () => await station.close());

  async function waitForWritten(page: Page): Promise<void> {
    await page.getByRole('link', { name: 'Output' }).click();
    await page.getByRole('button', { name: 'Select a folder and write' }).click();
    await page.getByRole('heading', { name: 'Output 1' }).waitFor({ timeout: 60_000 });
  }

  it('writes panels and sheets, shows each file, and prints one panel again byte for byte behind a color strip', async () => {
    await station.smallJobAdded();
    const page = await station.window();
    await openJobOn(page, 'SJ-7');
    await page.getByRole('link', { name: 'Output' }).click();
    // It takes longer than the other sheets together.
    await page.getByLabel('Install map', { exact: true }).uncheck();
    await waitForWritten(page);
    await page
      .getByRole('img', { name: /^First page of .*LH-01/ })
      .first()
      .waitFor();
    const folder = join(station.outputFolder, 'SJ-7', 'output-1');
    const files = await readdir(folder, { recursive: true });
    expect(files.filter((name) => /LH-0[12].*\.pdf$/.test(name))).toHaveLength(2);
    await page.getByRole('link', { name: 'History' }).click();
    await page.getByRole('button', { name: 'Reprint panels of Output 1' }).click();
    await page.getByText('Install 1', { exact: true }).waitFor();
    await page.getByRole('checkbox', { name: 'LH-02' }).press('Space');
    await page.getByText(/^Film needed: .* of the 1524 mm roll/).waitFor();
    await page.getByLabel(/^Color strip of the seam area/).press('Space');
    await page.getByLabel('Reason').fill('Scratched while installing');
    await page.keyboard.press('Enter');
    await page.getByText(/Byte-identical to Output 1/).waitFor({ timeout: 60_000 });
    await page.getByRole('link', { name: 'History' }).first().click();
    await page.getByText('Reason: Scratched while installing').waitFor();
    const written = await readdir(station.outputFolder, { recursive: true });
    const reprinted = written.find((name) => /output-2.*panels.*LH-02.*\.pdf$/.test(name))!;
    expect(written.filter((name) => /output-2.*COLOR-STRIP-LH-02\.pdf$/.test(name))).toHaveLength(1);
    const first = files.find((name) => /LH-02.*\.pdf$/.test(name))!;
    expect(await readFile(join(station.outputFolder, reprinted))).toEqual(
      await readFile(join(folder, first)),
    );
  }, 180_000);

  it('blocks output until every stop is gone and every warning acknowledged, and the button says which', async () => {
    await station.smallJobAdded({ printer: { ...smallJob().printer, rollWidthMm: 900 } });
    const page = await station.window();
    await openJobOn(page, 'SJ-7');
    await page.getByRole('link', { name: 'Output' }).click();
    const button = page.getByRole('button', {
      name: /^Cannot write yet: stopped by .*too wide for the roll/,
    });
    await button.waitFor();
    expect(await button.isEnabled()).toBe(false);
  });

  it('finds a job by any word, within dates, and opens a duplicate', async () => {
    await station.smallJobAdded({ notes: 'Pick up the keys at the circulation desk' });
    const page = await station.window();
    const search = page.getByLabel(/^Search customer/);
    await search.fill('circul');
    await page.getByRole('link', { name: 'SJ-7' }).waitFor();
    await search.fill('zeppelin');
    await page.getByText(/No job matches/).waitFor();
    await page.getByRole('button', { name: 'View all jobs' }).click();
    await page.getByLabel('Changed from').fill('2031-01-01');
    await page.getByText(/No job matches/).waitFor();
    await page.getByLabel('Changed from').fill('');
    await chooseJobAct(page, 'SJ-7', 'Duplicate…');
    await page.getByLabel('Number of the new job').fill('SJ-8');
    await page.getByRole('dialog').getByRole('button', { name: 'Duplicate' }).click();
    await page.getByText('SJ-8').first().waitFor();
    await page.locator('.panel').first().waitFor();
  });

  it('shows thousands of jobs by a few rows, and keys, scroll bar and search reach all of them', async () => {
    addManyJobs(databasePath(join(station.folder, 'archive')), 3000);
    const page = await station.window({ bypassCSP: true });
    const table = page.getByRole('table', { name: 'Jobs' });
    const shown = async () => await table.locator('tbody tr').count();
    const inSight = (number: string) =>
      page.evaluate<boolean>(`(() => {
        const frame = document.querySelector('.jobs-table').getBoundingClientRect();
        const links = [...document.querySelectorAll('.jobs-table a')];
        const row = links.find(({ textContent }) => textContent === ${JSON.stringify(number)})?.closest('tr');
        const at = row?.getBoundingClientRect();
        return at !== undefined && at.top >= frame.top && at.bottom <= frame.bottom + 1;
      })()`);
    const focused = () => page.evaluate<string>('document.activeElement.textContent');
    await page.getByRole('link', { name: 'BM-3000', exact: true }).waitFor();
    expect(await table.getAttribute('aria-rowcount')).toBe('3001');
    await page.getByText('3,000 jobs', { exact: true }).waitFor();
    expect(await shown()).toBeLessThanOrEqual(60);

    await page.getByRole('link', { name: 'BM-3000', exact: true }).focus();
    for (const [key, number, rowIndex] of [
      ['ArrowDown', 'BM-2999', '3'],
      ['End', 'BM-1', '3001'],
      ['ArrowUp', 'BM-2', '3000'],
      ['Home', 'BM-3000', '2'],
    ] as const) {
      await page.keyboard.press(key);
      await expect.poll(focused).toBe(number);
      expect(await inSight(number)).toBe(true);
      const row = page.locator('tr', { has: page.getByRole('link', { name: number, exact: true }) });
      expect(await row.getAttribute('aria-rowindex')).toBe(rowIndex);
      expect(await shown()).toBeLessThanOrEqual(60);
    }

    // With the scroll bar, away from the row that has the keyboard; the next arrow key goes on from that row.
    await page.evaluate(`(() => {
      const frame = document.querySelector('.jobs-table');
      frame.scrollTop = frame.scrollHeight / 2;
    })()`);
    await page
      .getByRole('link', { name: /^BM-15\d\d$/ })
      .first()
      .waitFor();
    expect(await shown()).toBeLessThanOrEqual(60);
    expect(await axeViolations(page)).toEqual([]);
    await page.keyboard.press('ArrowDown');
    await expect.poll(focused).toBe('BM-2999');
    expect(await inSight('BM-2999')).toBe(true);

    await page.getByLabel(/^Search customer/).fill('bm-7');
    // Some word of the job begins with a 7: its number, or that of its state.
    const found = Array.from({ length: 3000 }, (_, i) => i + 1).filter((n) =>
      [n, n % 97].some((each) => String(each).startsWith('7')),
    );
    await page.getByRole('link', { name: `BM-${found.at(-1)}`, exact: true }).waitFor();
    await page.getByText(`${found.length} jobs`, { exact: true }).waitFor();
    expect(await table.getAttribute('aria-rowcount')).toBe(String(found.length + 1));
  });

  it('loads again from what the browser has kept: of the files of the screens, twenty kilobytes at most', async () => {
    addManyJobs(databasePath(join(station.folder, 'archive')), 100);
    const page = await station.window();
    await page.getByRole('link', { name: 'BM-100', exact: true }).waitFor();
    const session = await page.context().newCDPSession(page);
    // Questions about jobs are posted; what comes of them is no file.
    const files = new Set<string>();
    let bytes = 0;
    session.on('Network.requestWillBeSent', ({ requestId, request }) => {
      if (request.method === 'GET') files.add(requestId);
    });
    session.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => {
      if (files.has(requestId)) bytes += encodedDataLength;
    });
    await session.send('Network.enable');
    await page.reload();
    await page.getByRole('link', { name: 'BM-100', exact: true }).waitFor();
    await page.evaluate('document.fonts.ready.then(() => undefined)');
    // The page itself, which names the others, is always fetched.
    await expect.poll(() => bytes).toBeGreaterThan(500);
    expect(files.size).toBeGreaterThan(2);
    expect(bytes).toBeLessThan(20_000);
  });

  it('deletes a job, the jobs of a customer and unused files, after a question that says what will go', async () => {
    const shared = await station.smallJobAdded();
    const { vault, jobs } = station.services.archive;
    await station.smallJobAdded({ id: 'second', number: 'SJ-8' });
    await station.smallJobAdded({ id: 'third', number: 'BR-1', customer: 'Birch County Library' });
    const unused = join(station.folder, 'unused.pdf');
    await writeFile(unused, Buffer.alloc(48_300));
    // What came in within the last hour stays.
    const hashes = [(await vault.add(unused)).sha256, shared.artwork!.sha256];
    for (const sha256 of hashes) await utimes(await vault.path(sha256), 1, 1);
    const page = await station.window({ bypassCSP: true });
    const numbers = async () => (await jobs.list()).map(({ number }) => number);
    const question = page.getByRole('dialog');

    await chooseJobAct(page, 'SJ-8', 'Delete…');
    await question.getByText('This deletes for good: 1 job.').waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await question.getByRole('button', { name: 'Cancel' }).click();
    expect(await numbers()).toEqual(['BR-1', 'SJ-8', 'SJ-7']);
    await chooseJobAct(page, 'SJ-8', 'Delete…');
    await question.getByRole('radio', { name: 'All jobs of Alder County Library' }).check();
    await question.getByText('This deletes for good: 2 jobs.').waitFor();
    await question.getByRole('button', { name: 'Delete' }).click();
    await page.getByText('Deleted: 2 jobs.').waitFor();
    expect(await numbers()).toEqual(['BR-1']);

    await page.getByRole('button', { name: 'Clean the vault' }).click();
    await question.getByText('This deletes for good: 1 file (48 kB).').waitFor();
    await question.getByRole('button', { name: 'Delete' }).click();
    await page.getByText('Deleted: 1 file (48 kB).').waitFor();
    expect(await Promise.all(hashes.map((sha256) => vault.has(sha256)))).toEqual([false, true]);
    await page.getByRole('button', { name: 'Clean the vault' }).click();
    await question.getByText('Every file of the vault belongs to a job or an output').waitFor();
    expect(await question.getByRole('button', { name: 'Delete' }).isEnabled()).toBe(false);
    await question.getByRole('button', { name: 'Cancel' }).click();

    // The artwork is deleted with the last job that names it.
    await utimes(await vault.path(hashes[1]!), 1, 1);
    await chooseJobAct(page, 'BR-1', 'Delete…');
    await question.getByText(/^This deletes for good: 1 job and 1 file \(/).waitFor();
    await question.getByRole('button', { name: 'Delete' }).click();
    await page.getByText(/^Deleted: 1 job and 1 file \(/).waitFor();
    expect(await vault.has(hashes[1]!)).toBe(false);
  });

  it('keeps an edit that is larger than what a closing page may send, and brings it back', async () => {
    const acknowledgements = Array.from({ length: 9 }, (_, i) => ({
      finding: `remark-${i}`,
      by: 'Prepress',
      note: 'Wandering '.repeat(1000),
    }));
    await station.smallJobAdded({ id: 'large', number: 'LG-1', acknowledgements });
    await station.smallJobAdded();
    const page = await station.window();
    const seamsOf = async (id: string) => {
      const { layout } = (await archivedJob(station, id)).sides[0]!;
      return layout.kind === 'split' ? layout.joints.map(({ atMm }) => atMm) : [];
    };
    const closeAfterEdit = async (number: string, toMm: number, { isSaveLost = false } = {}) => {
      await openJobOn(page, number);
      if (isSaveLost) await page.evaluate(loseSaves);
      await dragBench(page, [1330, 900], [toMm + 2, 900]);
      await page.goto('about:blank');
      await page.goto(`${station.host.origin}/#/jobs`);
    };
    await closeAfterEdit('SJ-7', 1600);
    await expect.poll(async () => await seamsOf('small-job')).toEqual([1600]);
    await closeAfterEdit('LG-1', 1600, { isSaveLost: true });
    expect(await seamsOf('large')).toEqual([1330]);
    await page.getByText('The last edit of job LG-1 was not saved when its page closed.').waitFor();
    await openJobOn(page, 'LG-1');
    await page.getByText('The last edit, which was not saved when its page closed, is back.').waitFor();
    await awaitSaved(page);
    expect(await seamsOf('large')).toEqual([1600]);
    await page.keyboard.press('Control+z');
    await awaitSaved(page);
    expect(await seamsOf('large')).toEqual([1330]);
  });

  it('takes a job to another machine as one file, artwork included', async () => {
    await station.smallJobAdded();
    const page = await station.window();
    await chooseJobAct(page, 'SJ-7', 'Export as a file…');
    await page
      .getByText(/\.pwjob/)
      .first()
      .waitFor();
    const bundle = (await readdir(station.outputFolder)).find((name) => name.endsWith('.pwjob'))!;
    const other = await startWorkstation();
    try {
      await other.smallJobAdded({ id: 'local', name: 'Job of this machine' });
      const there = await other.window();
      await there.getByLabel('Job file to import').setInputFiles(join(station.outputFolder, bundle));
      const question = there.getByRole('dialog', { name: 'SJ-7 is in the archive already' });
      await question.getByText('In the archive: SJ-7, Job of this machine').waitFor();
      await question.getByRole('button', { name: 'Do not import' }).click();
      await question.waitFor({ state: 'detached' });
      await there.getByLabel('Job file to import').setInputFiles(join(station.outputFolder, bundle));
      await question.getByRole('button', { name: 'Keep both' }).click();
      await openJobOn(there, 'SJ-7-2');
      const exported = await archivedJob(station, 'small-job');
      expect(await archivedJob(other, 'small-job')).toEqual({ ...exported, number: 'SJ-7-2' });
      await there.locator('.bench-status', { hasNotText: 'Drawing' }).waitFor();
      expect(await there.locator('.picture-note').count()).toBe(0);
    } finally {
      await other.close();
    }
  });

  it('shows what is no plain letter, and ten thousand characters, in names as text, everywhere', async () => {
    const name = ODD_TEXT;
    const base = smallJob();
    const named = sideSet(
      {
        ...base,
        customer: name,
        name,
        vehicles: [{ ...base.vehicles[0]!, units: [{ unitNumber: name, licensePlate: '' }] }],
        notes: name,
      },
      { sideId: 'left', change: { name, notes: name } },
    );
    if (!named.ok) throw new Error(named.problem.message);
    await station.smallJobAdded(named.value);
    const page = await station.window();
    await page.getByRole('link', { name: 'SJ-7', exact: true }).first().waitFor();
    const cells = await page.locator('.jobs-text').allTextContents();
    expect(cells.map(plain)).toContain(plain(name));
    await openJobOn(page, 'SJ-7');
    await page.getByRole('tab', { name: 'Job', exact: true }).click();
    expect(plain(await page.getByLabel('Customer', { exact: true }).inputValue())).toBe(plain(name));
    await page.getByRole('button', { name: /^LH/ }).first().click();
    await page.getByRole('tab', { name: 'Side', exact: true }).click();
    await page.getByRole('link', { name: 'Sheets' }).click();
    await page.getByRole('link', { name: 'Output' }).click();
    await page.getByRole('heading', { name: 'Output' }).waitFor();
    expect(await page.title()).toBe('Panelwright');
    expect(await page.locator('script:not([src])').count()).toBe(0);
    const widths = await page.evaluate<[number, number]>(
      '[document.documentElement.scrollWidth, window.innerWidth]',
    );
    expect(widths[0]).toBeLessThanOrEqual(widths[1]);
  });

  it('shows the same in files, layers, lines and reasons as text, everywhere', async () => {
    const name = ODD_TEXT;
    const path = join(station.folder, 'layered.pdf');
    await writeFile(path, layeredPdf(name));
    const kept = await station.services.archive.vault.add(path);
    const [side] = smallJob().sides;
    const lines = [{ id: 'b1', name, kind: 'crease', direction: 'vertical', atMm: 700 } as const];
    await station.smallJobAdded({
      artwork: { fileName: name, box: 'crop', ...kept },
      sides: [{ ...side!, bodyLines: lines }],
      artworkLimits: { ...DEFAULT_ARTWORK_LIMITS, severities: { 'layer-print-state': 'note' } },
    });
    const page = await station.window();
    const isPlain = async () => {
      expect(await page.title()).toBe('Panelwright');
      expect(await page.locator('script:not([src]), img[src="x"]').count()).toBe(0);
      const wide = 'document.documentElement.scrollWidth - window.innerWidth';
      expect(await page.evaluate<number>(wide)).toBeLessThanOrEqual(0);
    };
    await openJobOn(page, 'SJ-7');
    await page.getByRole('tab', { name: 'Artwork', exact: true }).click();
    await page.locator('.picture-note summary').click();
    const note = plain((await page.locator('.picture-note').textContent())!);
    expect(note).toContain(plain(name).slice(0, 40));
    await isPlain();
    await page.getByRole('tab', { name: /Findings/ }).click();
    await isPlain();
    await page.getByRole('button', { name: 'Suggest panel layouts', exact: true }).click();
    await page
      .getByRole('heading', { name: /why its seams are there|Plans for/ })
      .first()
      .waitFor();
    await isPlain();
    await page.getByRole('link', { name: 'Production' }).click();
    await page.locator('.roll-panel').first().waitFor({ timeout: 60_000 });
    await isPlain();
    await page.getByRole('link', { name: 'Sheets' }).click();
    await page.locator('img.sheet-picture').waitFor({ timeout: 60_000 });
    await waitForWritten(page);
    await isPlain();
    await page.getByRole('link', { name: 'History' }).click();
    await page.getByRole('button', { name: 'Reprint panels of Output 1' }).click();
    await page.getByRole('checkbox', { name: 'LH-02' }).press('Space');
    await page.getByLabel('Reason').fill(name);
    await page.keyboard.press('Enter');
    await page.getByText(/Byte-identical to Output 1/).waitFor({ timeout: 60_000 });
    await page.getByRole('link', { name: 'History' }).first().click();
    const reason = plain(
      (await page
        .getByText(/^Reason: /)
        .first()
        .textContent())!,
    );
    expect(reason).toBe(plain(`Reason: ${name}`));
    await isPlain();
  }, 180_000);

  /** As an input and HTML may normalize it: line breaks and NUL are not theirs to keep. */
  const plain = (text: string) => text.replaceAll(/[\u0000\ufffd\r\n]/g, '').trim();

  it('opens the demo job with its art, and cuts, undoes, redoes and keeps it', async () => {
    const page = await station.window();
    await page.getByRole('button', { name: 'Open the demo job' }).click();
    await page.locator('.panel-table tbody tr').first().waitFor({ timeout: 60_000 });
    const count = async () => await page.locator('.panel-table tbody tr').count();
    const before = await count();
    await page.locator('.bench-area').focus();
    await page.keyboard.press('.');
    await page.getByRole('button', { name: 'Cut in the middle' }).click();
    expect(await count()).toBe(before + 1);
    await page.getByRole('button', { name: 'Undo' }).click();
    expect(await count()).toBe(before);
    await page.getByRole('button', { name: 'Redo' }).click();
    await awaitSaved(page);
    await page.reload();
    await page.locator('.panel-table tbody tr').first().waitFor();
    expect(await count()).toBe(before + 1);
  });
});

/** A page with a layer of that name which is seen and does not print. */
function layeredPdf(name: string): Uint8Array {
  // A text string in UTF-16BE with its mark (ISO 32000-1, 7.9.2.2), cut to what such strings may hold.
  const hex = Buffer.from(`\ufeff${name.slice(0, 8000)}`, 'utf16le')
    .swap16()
    .toString('hex');
  return rawPdf({
    page: '/MediaBox [0 0 908 397]',
    resources: '/Properties << /T 40 0 R >>',
    content: '0.4 0.2 0.1 0 k 0 0 908 397 re f /OC /T BDC 0 0 0 1 k 90 90 50 30 re f EMC',
    catalog:
      '/OCProperties << /OCGs [40 0 R] /D << /ON [40 0 R] /AS [<< /Event /Print /Category [/Print] /OCGs [40 0 R] >>] >> >>',
    objects: {
      40: `<< /Type /OCG /Name <${hex}> /Usage << /Print << /PrintState /OFF >> >> >>`,
    },
  });
}

/**
 * Fails the saves of a page until it closes. It happens in the page itself: requests held back from outside are let go
 * when their page closes, and may still arrive.
 */
function loseSaves(): void {
  const send = globalThis.fetch;
  globalThis.fetch = async (input: string | URL | Request, init?: RequestInit) => {
    if (typeof input === 'string' && input.endsWith('/ask/job%3Asave'))
      throw new TypeError('The save is lost.');
    return await send(input, init);
  };
}

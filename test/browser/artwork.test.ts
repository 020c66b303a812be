import { readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { beforeEach, expect, it, onTestFinished } from 'vitest';
import { rawPdf } from '../support/raw-pdf.ts';
import { smallArtwork } from '../support/small-job.ts';
import { runTool } from '../support/tools.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { dropFile, dropFiles } from './drop-file.ts';
import { sharedWindow } from './shared-window.ts';
import {
  archivedJob,
  awaitSaved,
  clickBench,
  dragBench,
  passFrames,
  startWorkstation,
  type Workstation,
} from './workstation.ts';

describeInBrowser('artwork on the bench', () => {
  const shared = sharedWindow();
  let station: Workstation;
  let page: Page;
  let path: string;
  let jobs = 0;

  beforeEach(async () => {
    await shared.showJobs();
    await beginJob(shared.station, shared.page);
  });

  async function beginJob(at: Workstation, window: Page): Promise<void> {
    station = at;
    page = window;
    path = join(station.folder, 'van left.pdf');
    await writeFile(path, await smallArtwork(2));
    await page.getByRole('button', { name: 'New job' }).click();
    jobs += 1;
    await page.getByLabel('Job number').fill(`NJ-${jobs}`);
    await page.getByLabel('Job', { exact: true }).fill('Reading van');
    await page.getByLabel('Customer', { exact: true }).fill('Alder County Library');
    await page.getByRole('button', { name: 'Create' }).click();
    await page.getByRole('heading', { name: 'Bring in the artwork' }).waitFor();
  }

  const job = async () => await archivedJob(station, decodeURIComponent(page.url().split('/').at(-1)!));
  const inspector = () => page.getByRole('complementary', { name: 'Inspector' });

  async function importArt(file = path): Promise<void> {
    const choosing = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Import artwork' }).first().click();
    await (await choosing).setFiles(file);
  }

  it('is imported, its page made a side, and a second side drawn on the second page', async () => {
    await importArt();
    await page.getByRole('tab', { name: 'Artwork' }).click();
    await page.getByRole('button', { name: 'The whole page is a side' }).click();
    await page.locator('.page-choice select').selectOption('2');
    await page.locator('.bench-area').focus();
    await page.keyboard.press('d');
    // At 1:10 the page is 3200 × 1400 mm on the bench.
    await dragBench(page, [104, 102], [2602, 1303], { isFree: true });
    await awaitSaved(page);
    expect((await job()).artwork).toMatchObject({ fileName: 'van left.pdf', box: 'trim' });
    const [first, second] = (await job()).sides;
    expect(first).toMatchObject({ code: 'LH', page: 1, front: 'left' });
    expect(first!.artworkRect.widthMm).toBeCloseTo(320, 3);
    expect(second).toMatchObject({ code: 'RH', page: 2, front: 'right' });
    expect(second!.artworkRect.widthMm).toBeCloseTo(249.8, 0);
    expect(second!.artworkRect.heightMm).toBeCloseTo(120.1, 0);
    await page.getByRole('button', { name: 'RH Right side' }).click();
    await page.locator('.panel-table tbody tr').first().waitFor();
    expect(await page.locator('.panel-table tbody tr').count()).toBe(1);
  });

  it('is taken when it is dropped on the canvas', async () => {
    await dropFile(page, '.artwork-drop', 'dropped.pdf', await readFile(path));
    await page.getByRole('button', { name: 'Artwork pages' }).waitFor();
    await awaitSaved(page);
    expect((await job()).artwork).toMatchObject({ fileName: 'dropped.pdf' });
  });

  it('is put together from several files that are dropped at once, in the order of the sides', async () => {
    const bytes = await readFile(path);
    await dropFiles(page, '.artwork-drop', { 'van right.pdf': bytes, 'van left.pdf': bytes });
    await page.getByRole('button', { name: 'Artwork pages' }).waitFor();
    await awaitSaved(page);
    const files = (await job()).artwork?.files?.map(({ fileName }) => fileName);
    expect(files).toEqual(['van left.pdf', 'van right.pdf']);
  });

  it('asks for the password of a protected file until it is right', async () => {
    const locked = join(station.folder, 'locked.pdf');
    runTool('qpdf', ['--encrypt', 'maple7', 'owner', '256', '--', path, locked]);
    await importArt(locked);
    const dialog = page.getByRole('dialog', { name: 'Password of the artwork' });
    await dialog.getByLabel('Password').fill('oak');
    await dialog.getByRole('button', { name: 'Open' }).click();
    await dialog.getByText(/wrong|not the password|does not open/i).waitFor();
    await dialog.getByLabel('Password').fill('maple7');
    await dialog.getByRole('button', { name: 'Open' }).click();
    await page.getByRole('button', { name: 'Artwork pages' }).waitFor();
    await awaitSaved(page);
    expect((await job()).artwork).toMatchObject({ fileName: 'locked.pdf' });
    expect(JSON.stringify(await job())).not.toContain('maple7');
  });

  it('says of each file what the picture does not show as it prints', async () => {
    const file = join(station.folder, 'over.pdf');
    const resources = '/ExtGState << /Op << /OP true /op true /OPM 1 >> /Times << /BM /Multiply >> >>';
    const content =
      '0.2 0.1 0.4 0 k 0 0 908 397 re f /Op gs 0 0 0 1 k 100 90 300 60 re f /Times gs 0 1 0 0 k 500 90 90 60 re f';
    await writeFile(file, rawPdf({ page: '/MediaBox [0 0 908 397]', resources, content }));
    await importArt(file);
    const note = page.locator('.picture-note');
    await note.getByText('Not as it prints: 2 things in this artwork').click();
    await note.getByText('2 objects set to overprint: drawn here as if they knocked out.').waitFor();
    await note.getByText(/One object blended by Multiply/).waitFor();
    await page.getByRole('button', { name: 'Artwork pages' }).waitFor();
    await awaitSaved(page);
  });

  it('is refused with a sentence and a remedy where it is no PDF', async () => {
    const wrong = join(station.folder, 'photo.pdf');
    await writeFile(wrong, 'GIF89a, not a PDF at all');
    await importArt(wrong);
    const alert = page.getByRole('alert');
    await alert.waitFor();
    expect(await alert.textContent()).toContain('photo.pdf');
    await page.getByRole('heading', { name: 'Bring in the artwork' }).waitFor();
  });

  it('is scaled by what a tape showed, and tells how far the drawing is off', async () => {
    await importArt();
    await page.getByRole('tab', { name: 'Artwork' }).click();
    await page.getByRole('button', { name: 'The whole page is a side' }).click();
    await page.getByRole('button', { name: 'LH Left side' }).click();
    await page.locator('.bench-area').focus();
    await page.keyboard.press('Shift+M');
    await clickBench(page, 200, 700);
    await clickBench(page, 2700, 706);
    const across = inspector().getByRole('group', { name: 'Measure 1' });
    await across.getByLabel(/horizontal/).fill('2530');
    await across.getByLabel(/horizontal/).press('Enter');
    // 2530 ÷ 2500: the drawing makes it 1.19 % too short; a pixel is about 3.6 mm here.
    await across.getByText(/as it is now, it is 1\.\d+ % too short/).waitFor();
    await clickBench(page, 900, 100);
    await clickBench(page, 900, 1300);
    const up = inspector().getByRole('group', { name: 'Measure 2' });
    await up.getByLabel(/vertical/).fill('1200');
    await up.getByLabel(/vertical/).press('Enter');
    await inspector()
      .getByText(/they differ by 1\.\d+ %, more than the 0\.5 %/)
      .waitFor();
    await across.getByRole('button', { name: /^Use 1:10\.1/ }).click();
    await passFrames(page);
    await awaitSaved(page);
    expect((await job()).scale).toBeGreaterThan(10.08);
    expect((await job()).scale).toBeLessThan(10.16);
  });

  it('asks for that password once more after the program was started again', async () => {
    let own = await startWorkstation();
    onTestFinished(async () => await own.close());
    await beginJob(own, await own.window());
    const locked = join(station.folder, 'locked.pdf');
    runTool('qpdf', ['--encrypt', 'maple7', 'owner', '256', '--', path, locked]);
    await importArt(locked);
    const given = page.getByRole('dialog', { name: 'Password of the artwork' });
    await given.getByLabel('Password').fill('maple7');
    await given.getByRole('button', { name: 'Open' }).click();
    await page.getByRole('tab', { name: 'Artwork' }).click();
    await page.getByRole('button', { name: 'The whole page is a side' }).click();
    await awaitSaved(page);

    const { number } = await job();
    own = await own.restarted();
    page = await own.window();
    await page.getByRole('link', { name: number, exact: true }).first().click();
    const dialog = page.getByRole('dialog', { name: 'Password of the artwork' });
    await dialog.getByText(/locked\.pdf/).waitFor();
    await dialog.getByRole('button', { name: 'Cancel' }).click();
    await page.getByRole('button', { name: 'Give the password' }).click();
    await dialog.getByLabel('Password').fill('oak');
    await dialog.getByRole('button', { name: 'Open' }).click();
    await dialog.getByText(/wrong|not the password|does not open/i).waitFor();
    await dialog.getByLabel('Password').fill('maple7');
    await dialog.getByRole('button', { name: 'Open' }).click();
    await dialog.waitFor({ state: 'detached' });
    await page.locator('.bench-status', { hasNotText: 'Drawing' }).waitFor();
    expect(await page.locator('.picture-note').count()).toBe(0);
    const kept = await readdir(own.folder, { recursive: true });
    expect(kept.filter((name) => /previews.*\.(png|json)$/.test(name))).toEqual([]);
  });
}, ['qpdf']);

import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { cmyk, PDFDocument } from 'pdf-lib';
import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { smallArtwork } from '../support/small-job.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import { archivedJob, awaitSaved, axeViolations } from './workstation.ts';

describeInBrowser('a corrected artwork', () => {
  const shared = sharedWindow({ bypassCSP: true });

  async function corrected(name: string): Promise<string> {
    const document = await PDFDocument.load(await smallArtwork());
    document.getPage(0).drawRectangle({ x: 700, y: 300, width: 60, height: 30, color: cmyk(0, 1, 1, 0) });
    const path = join(shared.station.folder, name);
    await writeFile(path, await document.save());
    return path;
  }

  const awaitPictures = async (page: Page) => {
    for (const when of ['before', 'after']) await page.locator(`img[alt="Left side ${when}"]`).waitFor();
  };

  it('is compared when it is imported over the present one, and undo brings that back', async () => {
    const { page, station } = shared;
    const job = await shared.openNewJob();
    await page.getByRole('tab', { name: 'Artwork' }).click();
    const choosing = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Replace the artwork' }).click();
    await (await choosing).setFiles(await corrected('corrected.pdf'));
    await page.getByRole('heading', { name: 'Compare artworks' }).waitFor();
    await page.getByText('1 of 2 panels has changed.').waitFor({ timeout: 60_000 });
    const panels = page.getByRole('region', { name: 'Panels of Left side' });
    expect(await panels.getByText('unchanged (same content)').count()).toBe(1);
    const swipe = page.getByRole('slider', { name: 'Swipe between before and after' });
    await swipe.focus();
    await page.keyboard.press('End');
    expect(await swipe.getAttribute('aria-valuetext')).toBe('100 % before, 0 % after');
    await awaitPictures(page);
    expect(await page.locator('.compare-mark').count()).toBe(1);
    expect(await axeViolations(page)).toEqual([]);
    await awaitSaved(page);
    expect((await archivedJob(station, job.id)).artwork?.fileName).toBe('corrected.pdf');
    await page.keyboard.press('Control+z');
    await awaitSaved(page);
    expect(await archivedJob(station, job.id)).toMatchObject({ artwork: job.artwork, sides: job.sides });
  }, 120_000);

  it('waits until it is used when it was compared first', async () => {
    const { page, station } = shared;
    const job = await shared.openNewJob();
    await page.evaluate(`location.hash = '#/compare/${job.id}'`);
    const choosing = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Compare with a corrected artwork' }).click();
    await (await choosing).setFiles(await corrected('second try.pdf'));
    const use = page.getByRole('button', { name: 'Use the corrected artwork' });
    await use.waitFor({ timeout: 60_000 });
    expect((await archivedJob(station, job.id)).artwork).toEqual(job.artwork);
    await awaitPictures(page);
    const notice = page.getByText('A corrected artwork waits: second try.pdf. Nothing was replaced.');
    expect(await notice.count()).toBe(0);
    await page.getByRole('link', { name: 'Sheets' }).click();
    await notice.waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await page.getByRole('button', { name: 'Compare', exact: true }).press('Enter');
    await use.click();
    await awaitSaved(page);
    expect((await archivedJob(station, job.id)).artwork?.fileName).toBe('second try.pdf');
    await page.getByRole('link', { name: 'Sheets' }).click();
    await page.getByRole('button', { name: 'Customer proof' }).waitFor();
    expect(await notice.count()).toBe(0);
  }, 120_000);
});

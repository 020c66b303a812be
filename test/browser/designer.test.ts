import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { smallJob } from '../support/small-job.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import { archivedJob, awaitSaved, axeViolations, clickBench } from './workstation.ts';

describeInBrowser('what goes to the designer', () => {
  const shared = sharedWindow({ bypassCSP: true });

  it('writes a panel guide by keyboard, at the scale and in the files that are selected', async () => {
    const { page, station } = shared;
    const job = await shared.openNewJob();
    await page.getByRole('link', { name: 'Sheets' }).click();
    const open = page.getByRole('button', { name: 'Panel guide' });
    await open.focus();
    await page.keyboard.press('Enter');
    const dialog = page.getByRole('dialog', { name: 'Panel guide' });
    // As the artwork is drawn, which fits a page.
    expect(await dialog.getByLabel('Drawn at').inputValue()).toBe(String(job.scale));
    await dialog.getByLabel('Drawn at').selectOption('5');
    await dialog.getByLabel('Each side as SVG, too').check();
    expect(await axeViolations(page)).toEqual([]);
    await dialog.getByRole('button', { name: 'Select a folder and write the guide' }).click();
    await page.getByText(/^The panel guide is in /).waitFor({ timeout: 60_000 });
    expect((await readdir(join(station.outputFolder, job.number, 'guide-1'))).sort()).toEqual([
      `${job.number}_LH_guide.svg`,
      `${job.number}_guide.pdf`,
    ]);
  }, 120_000);

  it('writes the findings for the designer as a report and on a copy of the artwork', async () => {
    const { page, station } = shared;
    // More bleed than the page has artwork for.
    const [side] = smallJob().sides;
    const job = await shared.openNewJob({
      sides: [{ ...side!, bleed: { top: 80, right: 50, bottom: 50, left: 50 } }],
    });
    await page.getByRole('link', { name: 'Sheets' }).click();
    await page.getByRole('button', { name: 'Findings for the designer' }).click();
    await page.getByText(/^\d+ findings? for the designer\. In /).waitFor({ timeout: 60_000 });
    expect((await readdir(join(station.outputFolder, job.number, 'findings-1'))).sort()).toEqual([
      `${job.number}_artwork-with-findings.pdf`,
      `${job.number}_findings.pdf`,
    ]);
  }, 120_000);

  it('keeps who signed the customer proof, and warns until somebody has', async () => {
    const { page, station } = shared;
    const job = await shared.openNewJob();
    await page.getByRole('link', { name: 'Sheets' }).click();
    await page.getByRole('button', { name: 'Customer proof' }).click();
    await page.getByLabel(/^Warn before output while/).check();
    await page.getByRole('link', { name: 'Output' }).click();
    await page.getByText('Nobody has signed a customer proof of this artwork.').waitFor();
    await page.getByRole('button', { name: 'Go to sheets' }).click();
    await page.getByRole('button', { name: 'Enter the signature' }).click();
    await page.getByText('Enter who signed.').waitFor();
    await page.getByLabel('Signed by').fill('Ann Lee');
    await page.getByLabel('Signed on').fill('2026-11-20');
    expect(await axeViolations(page)).toEqual([]);
    await page.getByLabel('Signed on').press('Enter');
    await page.getByText(/^Signed by Ann Lee on /).waitFor();
    await awaitSaved(page);
    expect((await archivedJob(station, job.id)).approval).toMatchObject({ by: 'Ann Lee', on: '2026-11-20' });
    await page.getByRole('link', { name: 'Output' }).click();
    await page.getByRole('button', { name: 'Select a folder and write' }).waitFor();
  }, 120_000);

  it('looks at a seam as it will look, by keyboard, and matches the screen by a card', async () => {
    const { page } = shared;
    await shared.openNewJob();
    await clickBench(page, 1330, 900);
    await page.getByRole('button', { name: 'How it will look' }).press('Enter');
    const dialog = page.getByRole('dialog', { name: 'How the seam will look' });
    await dialog.getByText(/This screen was not matched yet/).waitFor();
    const canvas = dialog.locator('canvas');
    await expect.poll(() => canvas.getAttribute('data-drawn'), { timeout: 30_000 }).toBe('1 0');
    const across = dialog.getByLabel('Top panel off across the seam');
    await across.focus();
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => canvas.getAttribute('data-drawn')).toBe('1.1 0');
    await dialog.getByText('Match this screen to true size').click();
    await dialog.getByLabel('Width of the bar').focus();
    await page.keyboard.press('ArrowRight');
    await dialog.getByText(/This screen was matched by a card/).waitFor();
    await dialog.getByLabel('Seen', { exact: true }).selectOption('far');
    await dialog.getByText(/^As from 3 m, seen from 0\.6 m/).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await dialog.getByRole('button', { name: 'Close' }).click();
  }, 120_000);
});

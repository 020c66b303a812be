import { readdir } from 'node:fs/promises';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { smallJob } from '../support/small-job.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { axeViolations, openJobOn, startWorkstation, type Workstation } from './workstation.ts';

describeInBrowser('a patch of a damaged panel', () => {
  let station: Workstation;

  beforeEach(async () => {
    station = await startWorkstation();
  });
  afterEach(async () => await station.close());

  it('is drawn on the picture of its panel or typed, says how it ends, and is written', async () => {
    await station.smallJobAdded();
    const page = await station.window({ bypassCSP: true });
    await openJobOn(page, 'SJ-7');
    await page.getByRole('link', { name: 'Output' }).click();
    await page.getByLabel('Install map', { exact: true }).uncheck();
    await page.getByRole('button', { name: 'Select a folder and write' }).click();
    await page.getByRole('heading', { name: 'Output 1' }).waitFor({ timeout: 60_000 });
    await page.getByRole('link', { name: 'History' }).click();
    await page.getByRole('button', { name: 'Reprint panels of Output 1' }).click();
    await page.getByRole('checkbox', { name: 'LH-02' }).press('Space');
    await page.getByRole('button', { name: 'Patch LH-02 instead' }).click();
    const dialog = page.getByRole('dialog', { name: 'Patch LH-02' });
    await dialog.getByText(/^LH-02 patch 1: /).waitFor({ timeout: 60_000 });

    // Typed: 670 mm from the left edge of the panel, which begins at 1330.
    await dialog.getByLabel('Damage from the left edge of the panel').fill('670');
    await dialog.getByLabel('Damage from its top edge').fill('0.5 m');
    await dialog.getByLabel('Width of the damage').fill('90');
    await dialog.getByLabel('Height of the damage').fill('70');
    await dialog.getByLabel('Height of the damage').press('Tab');
    const { minOverlapMm } = smallJob().limits;
    const size = `${90 + 2 * minOverlapMm} mm × ${70 + 2 * minOverlapMm} mm when trimmed`;
    await dialog.getByText(size).waitFor();

    // Drawn at the lower right corner of the panel, which it then ends at.
    const drawing = (await dialog.getByRole('img', { name: /^Damage on LH-02/ }).boundingBox())!;
    await page.mouse.move(drawing.x + drawing.width * 0.85, drawing.y + drawing.height * 0.85);
    await page.mouse.down();
    await page.mouse.move(drawing.x + drawing.width * 0.93, drawing.y + drawing.height * 0.93, { steps: 4 });
    await page.mouse.up();
    await dialog.getByText('Right: at the edge of LH-02').waitFor();
    await dialog.getByText('Bottom: at the edge of LH-02').waitFor();
    expect(await axeViolations(page)).toEqual([]);

    await dialog.getByLabel('Reason').fill('Forklift');
    await dialog.getByRole('button', { name: 'Select a folder and write the patch' }).click();
    await dialog.getByText(/^Output 2 written to/).waitFor({ timeout: 60_000 });
    const written = await readdir(station.outputFolder, { recursive: true });
    expect(written.some((name) => /output-2.*LH-02-patch-1\.pdf$/.test(name))).toBe(true);
    await page.keyboard.press('Escape');
    await page.getByRole('link', { name: 'History' }).first().click();
    await page.getByText('Reason: Forklift').waitFor();
  }, 180_000);
});

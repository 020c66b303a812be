import { readdir } from 'node:fs/promises';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { describeInBrowser } from './describe-in-browser.ts';
import {
  archivedJob,
  awaitSaved,
  axeViolations,
  openJobOn,
  startWorkstation,
  type Workstation,
} from './workstation.ts';

describeInBrowser('paper', () => {
  let station: Workstation;
  beforeEach(async () => {
    station = await startWorkstation();
  });
  afterEach(async () => await station.close());

  it('keeps what an output was made with, and saves its ticket with it', async () => {
    await station.smallJobAdded();
    const page = await station.window({ bypassCSP: true });
    await openJobOn(page, 'SJ-7');
    await page.getByRole('link', { name: 'Output' }).click();
    await page.getByLabel('Install map', { exact: true }).uncheck();
    await page.getByRole('button', { name: 'Select a folder and write' }).click();
    await page.getByRole('heading', { name: 'Output 1' }).waitFor({ timeout: 60_000 });

    await page.getByRole('link', { name: 'History' }).click();
    await page.getByRole('button', { name: 'View files' }).click();
    await page.getByText('Enter what it was made with').click();
    await page.getByLabel('Film lot, roll').fill('F-2291 roll 3');
    await page.getByLabel('Last panel off printer').fill('2026-11-27T15:40');
    await page.getByRole('button', { name: 'Keep with Output 1' }).click();
    await page.getByText('Made with, as entered').waitFor();
    expect(await axeViolations(page)).toEqual([]);
    const kept = await station.services.archive.outputs.find(1);
    expect(kept.ok && kept.value.record).toEqual({
      filmLot: 'F-2291 roll 3',
      offPrinter: '2026-11-27 15:40',
    });
    await page.getByRole('button', { name: 'Save the ticket with what was entered' }).click();
    await page.getByText(/SJ-7_ticket\.pdf is in /).waitFor({ timeout: 60_000 });
    expect(await readdir(station.outputFolder)).toContain('SJ-7_ticket.pdf');
  }, 180_000);

  it('leaves out kinds of page of the map, and takes the label sheet of the job', async () => {
    const job = await station.smallJobAdded();
    const page = await station.window({ bypassCSP: true });
    await openJobOn(page, job.number);
    await page.getByRole('link', { name: 'Sheets' }).click();
    const heat = page.getByRole('button', { name: 'Heat plan' });
    await heat.click();
    await page.getByRole('button', { name: 'Cards always' }).click();
    await awaitSaved(page);
    expect((await archivedJob(station, job.id)).sheets).toEqual({
      mapPages: ['crew', 'sides', 'wall', 'cautions'],
      panelCards: 'always',
    });
    expect(await heat.getAttribute('aria-pressed')).toBe('false');
    await heat.click();
    await awaitSaved(page);
    expect((await archivedJob(station, job.id)).sheets?.mapPages).toContain('heat');

    await page.getByRole('button', { name: 'Panel labels' }).click();
    await page.getByLabel('Label sheet', { exact: true }).selectOption('letter-2x3');
    await awaitSaved(page);
    expect((await archivedJob(station, job.id)).sheets?.labels).toMatchObject({ columns: 2, rows: 3 });
    await page
      .getByLabel('Label sheet', { exact: true })
      .selectOption({ label: 'A common sheet of the paper of the install map' });
    await awaitSaved(page);
    expect((await archivedJob(station, job.id)).sheets?.labels).toBeUndefined();
  }, 120_000);

  it('keeps the label sheet of the shop as it was measured, once it fits together, and the pages of its maps', async () => {
    const page = await station.window({ bypassCSP: true });
    await page.getByRole('link', { name: 'Shop' }).click();
    await page.getByLabel('Label sheet', { exact: true }).selectOption('own');
    await page.getByLabel('Columns').fill('3');
    await page.getByLabel('Label width').fill('100 mm');
    await page.getByRole('button', { name: 'Keep this label sheet' }).click();
    await page.getByText(/^The labels reach past the sheet/).waitFor();
    await page.getByLabel('Label width').fill('60 mm');
    await page.getByLabel('Left edge of a label to that of the next').fill('66 mm');
    await page.getByLabel('Left edge of the sheet to the first label').fill('8 mm');
    await page.getByRole('button', { name: 'Keep this label sheet' }).click();
    await page.getByRole('button', { name: 'Wall overview' }).click();
    await expect
      .poll(async () => (await station.services.archive.shelf.items()).profile?.sheets)
      .toMatchObject({
        mapPages: ['crew', 'sides', 'heat', 'cautions'],
        labels: { columns: 3, labelWidthMm: 60, pitchXMm: 66, leftMm: 8 },
      });
    expect(await axeViolations(page)).toEqual([]);
  }, 120_000);
});

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { jobToJson } from '../../core/job/job-json.ts';
import { DEFAULT_PRODUCTION } from '../../core/shop/production-settings.ts';
import { commandLine } from '../support/command-line.ts';
import { smallArtwork, smallJob } from '../support/small-job.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { axeViolations, startWorkstation, type Workstation } from './workstation.ts';

const PLANNING = { timeout: 60_000 };
vi.setConfig({ testTimeout: 300_000 });

/** What the element says that has the focus; empty where none has it. */
const focused = (page: Page): Promise<string> =>
  page.evaluate(
    `(() => { const at = document.activeElement; return at === document.body ? '' : at.getAttribute('aria-label') ?? (at.textContent || at.tagName); })()`,
  );

describeInBrowser('the rolls on the shelf, on the screen', () => {
  let station: Workstation;
  beforeEach(async () => {
    station = await startWorkstation();
  });
  afterEach(async () => await station.close());

  it('STK2 receives, scraps after a question, undoes and corrects, all by keyboard and label', async () => {
    const page = await station.window({ bypassCSP: true });
    await page.getByRole('link', { name: 'Rolls', exact: true }).press('Enter');
    await page.getByText('No rolls yet').waitFor();
    await page.getByRole('button', { name: 'Receive a roll' }).press('Enter');
    const dialog = page.getByRole('dialog', { name: 'Receive a roll' });
    await dialog.getByLabel('Material').fill('Cast print film');
    await dialog.getByLabel('Lot number').fill('7741');
    await dialog.getByRole('button', { name: 'Receive' }).press('Enter');
    await dialog.getByText('Enter the number on the roll, or one of your own.').waitFor();
    await dialog.getByLabel('Roll number').fill('12');
    await dialog.getByLabel('True width').fill('1524 mm');
    await dialog.getByLabel('Length on it').fill('20 m');
    await dialog.getByLabel('Use by').fill('2020-01-31');
    expect(await axeViolations(page)).toEqual([]);
    await dialog.getByRole('button', { name: 'Receive' }).press('Enter');
    await page.getByText('The roll would be past its use by date, 2020-01-31').waitFor();
    await dialog.getByLabel('Use by').fill('');
    await dialog.getByRole('button', { name: 'Receive' }).press('Enter');
    await page.getByText('The roll is R-0001.').waitFor();
    // The dialog has gone, and the keyboard is where it was opened.
    expect(await focused(page)).toBe('Receive a roll');
    await page.getByText('1 roll', { exact: true }).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await page.getByLabel('Search material, lot, roll, place, or the code on a label').fill('r-1');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'R-0001 Cast print film' }).waitFor();
    await page.getByRole('button', { name: 'Scrap film' }).press('Enter');
    const scrap = page.getByRole('dialog', { name: 'Scrap film of R-0001' });
    await scrap.getByLabel('Length that was scrapped').fill('21');
    await scrap.getByRole('button', { name: 'Scrap' }).press('Enter');
    const question = page.getByRole('dialog', { name: 'Nothing has been entered yet' });
    await question.getByText('This takes 21 m off R-0001, which has 20 m left.').waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await question.getByRole('button', { name: 'Take it off all the same' }).press('Enter');
    await page.getByText('-1 m left').waitFor();
    expect(await focused(page)).toBe('Scrap film');
    await page.getByRole('button', { name: 'Undo scrapped -21 m' }).press('Enter');
    await page.getByText('20 m left').waitFor();
    await page.getByText('undoes scrapped').waitFor();
    expect(await focused(page)).not.toBe('');
    await page.getByRole('button', { name: 'Correct the length' }).press('Enter');
    const correct = page.getByRole('dialog', { name: 'Correct the length of R-0001' });
    await correct.getByLabel('Length that is left, as measured').fill('18.25');
    await correct.getByLabel('Note').fill('shorter than its label says');
    await correct.getByRole('button', { name: 'Correct' }).press('Enter');
    await page.getByText('18.25 m left').waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await page.getByRole('link', { name: 'Jobs', exact: true }).click();
    await page.getByLabel('Search customer, unit number, job, notes, panel labels').fill('R-0001');
    await page.keyboard.press('Enter');
    await page.getByText('shorter than its label says').waitFor();
  });

  it('enters an output as printed in one confirmation, and asks before it does so again', async () => {
    const laminate = { name: 'Gloss laminate', kind: 'cast', finish: 'gloss', lotNumber: '' } as const;
    const job = await station.smallJobAdded({ laminate, production: DEFAULT_PRODUCTION });
    const at = (name: string) => join(station.folder, name);
    writeFileSync(at('art.pdf'), await smallArtwork());
    writeFileSync(at('job.json'), jobToJson(job));
    const { archive } = station.services;
    const cut = await commandLine([
      ...['--archive', archive.folder, 'cut', at('job.json'), '--artwork', at('art.pdf')],
      ...['--to', at('out'), '--sheets', 'none'],
    ]);
    expect(cut.err).toBe('');
    const entry = { at: '2026-11-20T13:05:00Z', by: 'Ada', unit: 'mm' } as const;
    const facts = { lotNumber: '7741', rollNumber: '12', widthMm: 1524, place: '', receivedOn: '2026-09-03' };
    await archive.stock.receive('f', { ...facts, use: 'film', material: job.film.name }, 20_000, entry);
    await archive.stock.receive('l', { ...facts, use: 'laminate', material: 'Gloss laminate' }, 6000, entry);
    const page = await station.window({ bypassCSP: true });
    await page.evaluate(`location.hash = '#/history/${job.id}'`);
    await page.getByRole('button', { name: 'Enter as printed: Output 1' }).click();
    const dialog = page.getByRole('dialog', { name: 'Output 1 was printed' });
    await dialog.getByRole('button', { name: 'Enter as printed' }).click(PLANNING);
    await dialog.getByText('Select the roll, or remove this line.').first().waitFor();
    await dialog.getByLabel('Roll', { exact: true }).first().selectOption('f');
    await dialog.getByLabel('Roll', { exact: true }).last().selectOption('l');
    await dialog.getByLabel('Length used').last().fill('5.5 m');
    await dialog.getByLabel('Nothing is left on this roll').last().check();
    expect(await axeViolations(page)).toEqual([]);
    await dialog.getByRole('button', { name: 'Enter as printed' }).press('Enter');
    await page.getByText(/Laminated: .* · Gloss laminate, lot 7741, roll 12/).waitFor();
    expect((await archive.stock.ledger('l')).map(({ deltaMm }) => deltaMm)).toEqual([6000, -5500, -500]);
    await page.getByRole('button', { name: 'Enter as printed: Output 1' }).click();
    await dialog.getByText('It was entered as printed once already.').waitFor(PLANNING);
    await dialog.getByRole('button', { name: 'Remove' }).last().click();
    await dialog.getByLabel('Roll', { exact: true }).selectOption('f');
    await dialog.getByRole('button', { name: 'Enter as printed' }).press('Enter');
    await page.getByRole('button', { name: 'It was printed, too' }).press('Enter');
    await page.getByText(/Printed, print 2: .* lot 7741, roll 12/).waitFor();
    expect(await archive.stock.printings(job.id, 1)).toBe(2);
    await page.evaluate(`location.hash = '#/production/${job.id}'`);
    await page.getByRole('button', { name: 'Take R-0001' }).click(PLANNING);
    await page.getByText('Usable length left').waitFor();
    expect(await axeViolations(page)).toEqual([]);
  });

  it('FL2 puts pieces on the fill list, shows where they lie and takes them off', async () => {
    const fleet = smallJob();
    const units = ['12', '14'].map((unitNumber) => ({ unitNumber, licensePlate: '' }));
    const job = await station.smallJobAdded({
      vehicles: [{ ...fleet.vehicles[0]!, units }],
      printer: { ...fleet.printer, rollWidthMm: 1800 },
      production: DEFAULT_PRODUCTION,
    });
    const page = await station.window({ bypassCSP: true });
    await page.evaluate(`location.hash = '#/production/${job.id}'`);
    await page.getByText('The largest waste beside the panels is').waitFor(PLANNING);
    await page.getByLabel('Kind of piece').selectOption('unit-number');
    await page.getByLabel('Width on roll').fill('300');
    await page.getByLabel('Height on roll').fill('120 mm');
    await page.getByLabel('Height on roll').press('Tab');
    await page.getByRole('button', { name: 'Add one for each vehicle' }).press('Enter');
    const list = page.getByRole('list', { name: 'Pieces on the fill list' });
    await list
      .getByText(/300 mm × 120 mm: .*from its left edge/)
      .first()
      .waitFor(PLANNING);
    await page.locator('.roll-fill').nth(1).waitFor();
    await page.getByLabel('Need of Unit number 14').selectOption('now');
    await list.getByRole('strong').first().filter({ hasText: 'Unit number 14' }).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await page.getByRole('button', { name: 'Remove Unit number 12' }).press('Enter');
    await list.getByText('Unit number 12', { exact: true }).waitFor({ state: 'detached' });
    // The line has gone with its button: the keyboard goes on behind it.
    expect(await focused(page)).not.toBe('');
    expect(await list.getByRole('listitem').count()).toBe(1);
  });
});

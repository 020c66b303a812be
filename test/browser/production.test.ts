import type { Locator, Page } from 'playwright-core';
import { describe, expect, it, vi } from 'vitest';
import type { Job } from '../../core/job/schema.ts';
import { smallJob } from '../support/small-job.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import { archivedJob, awaitSaved, axeViolations, passFrames } from './workstation.ts';

/** Planning shares the machine with other tests. */
const PLANNING = { timeout: 60_000 };
vi.setConfig({ testTimeout: 300_000 });

describeInBrowser('production on the screen', () => {
  const shared = sharedWindow();
  let page: Page;
  let job: Job;
  const production = async () => (await archivedJob(shared.station, job.id)).production;

  /** Two panels, so that one can be moved onto the other, on film with unequal margins. */
  const onFilm = (over: Partial<Job> = {}): Partial<Job> => ({
    printer: { ...smallJob().printer, marginLeftMm: 12, marginRightMm: 7 },
    ...over,
  });

  async function openProduction(over?: Partial<Job>, window = shared): Promise<void> {
    job = await window.openNewJob(onFilm(over));
    page = window.page;
    await page.getByRole('link', { name: 'Production' }).click();
    await page.getByRole('tab', { name: 'Rolls' }).click();
    await page.locator('.roll-panel').first().waitFor(PLANNING);
  }

  const panel = (page: Page, label: string): Locator =>
    page.getByRole('button', { name: new RegExp(`^${label},`) });

  /** Of its film: the picture on it reaches further and is clipped. */
  const filmBox = async (locator: Locator) => (await locator.locator('.roll-panel-film').boundingBox())!;

  async function middleOf(locator: Locator): Promise<{ x: number; y: number }> {
    const box = await filmBox(locator);
    return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  }

  it('checks a panel while it is dragged, locks it where it is let go, and undo takes that back', async () => {
    await openProduction();
    await page.getByText(/m of film\. No nesting within these rules uses less\./).waitFor();
    await page.getByText('Nothing to report').waitFor();
    const [from, onto] = [await middleOf(panel(page, 'LH-01')), await middleOf(panel(page, 'LH-02'))];

    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move((from.x + onto.x) / 2, onto.y, { steps: 5 });
    await page.getByText(/LH-0[12] lies on LH-0[12]/).waitFor();
    await page.getByText(/^In hand:/).waitFor();
    // Behind the other panel, with some film between them.
    const end = await filmBox(panel(page, 'LH-02'));
    await page.mouse.move(end.x + end.width + (onto.x - from.x), onto.y, { steps: 5 });
    await passFrames(page);
    expect(await page.getByText(/lies on/).count()).toBe(0);
    await page.mouse.up();
    await awaitSaved(page);
    const locked = (await production())!.locked;
    expect(locked).toMatchObject([{ panelId: `${job.id}/p1`, rollId: 'roll-1' }]);
    expect(locked[0]!.yMm).toBeGreaterThan(2000);
    await panel(page, 'LH-01').and(page.locator('.is-locked')).waitFor();
    // What was said beside the panel is what was stored.
    const said = await panel(page, 'LH-01').getAttribute('aria-label');
    expect(said).toContain(`${Math.round(locked[0]!.yMm * 10) / 10} mm from the start`);

    await page.keyboard.press('Control+z');
    await awaitSaved(page);
    expect((await production())?.locked ?? []).toEqual([]);
  });

  it('moves, turns, locks and lets go by keys, and by typed lengths', async () => {
    await openProduction();
    const first = panel(page, 'LH-01');
    await first.focus();
    const placed = /(\d+\.?\d*) mm from the start, (\d+\.?\d*) mm from the left edge(, turned)?/;
    const [, along] = placed.exec((await first.getAttribute('aria-label'))!)!;
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Alt+ArrowRight');
    await awaitSaved(page);
    expect((await production())!.locked[0]!.yMm).toBe(Number(along) + 111);
    await first.and(page.locator(':focus')).waitFor();
    const wasTurned = (await production())!.locked[0]!.turned;
    await page.keyboard.press('t');
    await awaitSaved(page);
    expect((await production())!.locked[0]!.turned).toBe(!wasTurned);
    await page.keyboard.press('l');
    await awaitSaved(page);
    expect((await production())!.locked).toEqual([]);

    const start = page.getByRole('textbox', { name: 'From the start' });
    await start.fill('2.5 m');
    await start.press('Tab');
    await awaitSaved(page);
    expect((await production())!.locked).toMatchObject([{ yMm: 2500 }]);
    await page.getByRole('button', { name: 'Unlock all' }).click();
    await awaitSaved(page);
    expect((await production())!.locked).toEqual([]);
  });

  it('plans on the rolls that are at hand and says what does not fit them', async () => {
    await openProduction();
    await page.getByRole('button', { name: 'Add a roll' }).click();
    const usable = page.getByLabel('Usable length left');
    await usable.fill('2.4 m');
    await usable.press('Tab');
    await awaitSaved(page);
    expect((await production())!.rolls).toMatchObject([
      { id: 'roll-1', usableLengthMm: 2400, leftMarginMm: 12 },
    ]);
    await page.getByText(/is not nested and not counted/).waitFor(PLANNING);
    await page.getByText(/Add a roll, load a fuller one/).waitFor();
    await page.getByRole('button', { name: 'Nest on full rolls' }).click();
    await page.getByText('Nothing to report').waitFor(PLANNING);
  });

  it('takes materials from their data sheets, stops a bad pair, and lets somebody override it with a note', async () => {
    await openProduction();
    await page.getByRole('tab', { name: 'Materials' }).click();
    await page.getByRole('button', { name: 'Enter a film' }).click();
    await page.getByRole('button', { name: 'Use this film' }).click();
    await page.getByText('Thickness, µm is missing.').waitFor();
    const sheet = async (use: 'film' | 'laminate', fields: Readonly<Record<string, string>>) => {
      const form = page.getByRole('form', { name: `Data sheet of the ${use}` });
      for (const [label, text] of Object.entries(fields))
        await form.getByLabel(label, { exact: true }).fill(text);
      await page.getByRole('button', { name: `Use this ${use}` }).click();
      await awaitSaved(page);
    };
    await sheet('film', {
      'Thickness, µm': '50',
      'Service life, years': '7',
      'Most stretch when installed, % longer': '130',
      'Price a m²': '13.5',
    });
    expect((await production())!.film).toMatchObject({
      name: 'Cast print film',
      thicknessUm: 50,
      widthMm: 1524,
    });
    await page.getByRole('button', { name: 'Enter a laminate' }).click();
    await page.getByLabel('Kind').selectOption('calendered-polymeric');
    await sheet('laminate', {
      Name: 'Polymeric laminate',
      'Thickness, µm': '75',
      'Service life, years': '5',
      Width: '1540 mm',
      'Length of a full roll': '50 m',
      'Price a m²': '7',
    });
    const pair = page
      .getByRole('list')
      .filter({ hasText: 'Polymeric laminate is polymeric calendered' })
      .last();
    await pair.getByText('Stop').waitFor(PLANNING);
    await pair.getByRole('button', { name: 'Override with a note' }).click();
    await pair.getByLabel('Why, for the ticket').fill('Flat panels for three months only.');
    await pair.getByRole('button', { name: 'Override' }).click();
    await pair.getByText(/Overridden by Prepress: Flat panels for three months only\./).waitFor(PLANNING);
    await awaitSaved(page);
    expect((await production())!.overrides).toEqual([
      { code: 'pair-calendered-on-cast', by: 'Prepress', note: 'Flat panels for three months only.' },
    ]);
    // The next job finds both on the shelf.
    await page.getByRole('button', { name: 'Without laminate data' }).click();
    await page.getByLabel('On the shop’s shelf').last().selectOption({ label: 'Polymeric laminate' });
    await awaitSaved(page);
    expect((await production())!.laminate).toMatchObject({ name: 'Polymeric laminate', widthMm: 1540 });
  });

  it('tells when it is dry, and stops a promise that is too early', async () => {
    await openProduction();
    await page.getByRole('tab', { name: 'Drying' }).click();
    await page.getByLabel('Printing begins').fill('2026-12-03T09:00');
    // The artwork asks for 90 + 50 + 20 + 10 %, and that dries in a day.
    await page.getByText('worst ≈ 170 %').waitFor(PLANNING);
    await page.getByText('Dry after 24 h').waitFor(PLANNING);
    await page.getByText('Computed from the artwork').click();
    await page
      .getByText(/^\d+ %, worst 170 %$/)
      .first()
      .waitFor();
    const heaviest = page.getByLabel('Heaviest coverage, if you know better, %');
    await heaviest.fill('310');
    await heaviest.press('Tab');
    // 72 h from Thursday morning is Sunday; trimming begins on Monday.
    await page.getByText('Dry after 72 h').waitFor(PLANNING);
    await page.getByText('Mon 2026-12-07, 07:30').first().waitFor();
    await heaviest.fill('180');
    await heaviest.press('Tab');
    await page.getByText('Dry after 24 h').waitFor(PLANNING);
    await page.getByLabel('Installation promised for').fill('2026-12-04T07:00');
    await page.getByText(/Installation is promised for Fri 2026-12-04, 07:00, but/).waitFor(PLANNING);
    await awaitSaved(page);
    expect(await production()).toMatchObject({ worstCoveragePercent: 180, promised: '2026-12-04T07:00' });
    await page.getByLabel('Saturday').fill('mornings');
    await page.getByLabel('Saturday').press('Tab');
    await page.getByText('Write shifts as 07:30-12:00, 12:45-16:30.').waitFor();
  });

  describe('in a window that axe-core may look into', () => {
    const open = sharedWindow({ bypassCSP: true });

    it('prints strip by strip where the job says so, and says what a choice of panels does', async () => {
      job = await open.openNewJob(onFilm());
      page = open.page;
      await page.getByRole('link', { name: 'Output' }).click();
      await page.getByLabel(/^One file per strip of the nesting/).check();
      await awaitSaved(page);
      expect((await archivedJob(open.station, job.id)).output.files).toBe('strips');
      await page.getByLabel('LH-02').uncheck();
      await page
        .getByText('When only some panels are selected, each is a file of its own, without strips.')
        .waitFor();
      expect(await axeViolations(page)).toEqual([]);
    });

    it('has nothing that axe-core objects to, in either theme and in inches', async () => {
      await openProduction({ displayUnit: 'in' }, open);
      await panel(page, 'LH-01').focus();
      await page.keyboard.press('l');
      for (const tab of ['Rolls', 'Materials', 'Drying', 'Estimates']) {
        await page.getByRole('tab', { name: tab }).click();
        expect(await axeViolations(page), tab).toEqual([]);
      }
      await page.locator('.estimate summary').first().click();
      expect(await page.locator('.estimate').first().textContent()).toMatch(/Film≈ \d+ ft²/);
      expect(await page.locator('.verdict').textContent()).toMatch(/\d+\.\d ft of film/);
    });
  });
});

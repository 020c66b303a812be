import type { Page } from 'playwright-core';
import { afterEach, expect, it, vi } from 'vitest';
import { regionJoints } from '../../core/job/region.ts';
import type { Job } from '../../core/job/schema.ts';
import { smallJob } from '../support/small-job.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import { archivedJob, awaitSaved, axeViolations, openJobOn, type Workstation } from './workstation.ts';

/** Planning shares the machine with other tests. */
const PLANNING = { timeout: 120_000 };
vi.setConfig({ testTimeout: 300_000 });

describeInBrowser('plans on the bench', () => {
  const shared = sharedWindow();
  let page: Page;
  let job: Job;
  // They lie over the bench, whichever job comes onto it.
  afterEach(async () => {
    const back = shared.page.getByRole('button', { name: 'Back to the bench' });
    if (await back.isVisible()) await back.click();
  });

  const stored = async () => await archivedJob(shared.station, job.id);
  const layout = async () => (await stored()).sides[0]!.layout;

  /** Two rolls high and with a gap, so that plans differ. */
  const tallJob = (over: Partial<Job> = {}): Partial<Job> => {
    const job = smallJob();
    const [side] = job.sides;
    return {
      sides: [
        {
          ...side!,
          noSeamAreas: [
            { id: 'title', name: 'Title', rect: { xMm: 1400, yMm: 170, widthMm: 1350, heightMm: 230 } },
          ],
          bodyLines: [
            { id: 'gap', name: 'Door gap', kind: 'body-gap', direction: 'vertical', atMm: 1210 },
            { id: 'belt', name: 'Belt line', kind: 'molding', direction: 'horizontal', atMm: 570 },
          ],
        },
      ],
      // No printer of the shop, which has other rolls.
      printer: { ...job.printer, name: 'Printer of one roll', rollWidthMm: 1067 },
      ...over,
    };
  };

  /** The demo's bookmobile, of whose no-seam areas only these are left. */
  async function addDemoKeepingClear(station: Workstation, name: RegExp): Promise<void> {
    const { handlers, releaseClient } = station.services;
    const context = { clientId: 'setup', signal: new AbortController().signal, report: () => undefined };
    await handlers['job:demo']({}, context);
    const job = await archivedJob(station, 'acl-bookmobile');
    const [left, ...others] = job.sides;
    const noSeamAreas = left!.noSeamAreas.filter((area) => name.test(area.name));
    const sides = [{ ...left!, noSeamAreas }, ...others];
    const saved = await handlers['job:save']({ job: { ...job, sides }, baseRevision: 1 }, context);
    expect(saved.ok).toBe(true);
    releaseClient('setup');
  }

  async function openTallJob(over?: Partial<Job>): Promise<void> {
    job = await shared.openNewJob(tallJob(over));
    page = shared.page;
  }

  async function openPlans(): Promise<void> {
    await openTallJob();
    await page.getByRole('button', { name: 'Suggest panel layouts', exact: true }).click();
    await awaitPlans(page);
  }

  const awaitPlans = async (page: Page) =>
    await page.getByRole('heading', { name: /why its seams are there/ }).waitFor(PLANNING);

  /** The figures of a plan by the names of their rows. */
  async function figuresOf(page: Page, name: RegExp): Promise<Record<string, string>> {
    const heads = await page.locator('.plan-table thead th .plan-name').allTextContents();
    const index = heads.findIndex((text) => name.test(text));
    expect(index, heads.join(' | ')).toBeGreaterThanOrEqual(0);
    const rows = await page.locator('.plan-table tbody th').allTextContents();
    const cells = await page.locator(`.plan-table tbody td:nth-child(${index + 2})`).allTextContents();
    return Object.fromEntries(
      rows.map((row, at) => [row.replace(' ≈', ''), cells[at]!.replace('◆', '').trim()]),
    );
  }

  it('stand side by side with the habit, say why, and are taken by one edit that undo takes back', async () => {
    await openPlans();
    const before = await layout();
    const [cheapest, habit] = [
      await figuresOf(page, /^Lowest cost/),
      await figuresOf(page, /^Equal vertical panels/),
    ];
    expect(Object.keys(cheapest)).toEqual(
      expect.arrayContaining(['Panels', 'Seams on flat', 'Lettering crossed', 'Shop trims', 'Waste', 'Cost']),
    );
    expect(cheapest['Limits broken']).toBe('none');
    // Drops from film of 1,067 mm are narrower than lettering of 1,350 mm.
    expect(habit['Limits broken']).toMatch(/through “Title”/);

    await page
      .getByRole('button', { name: /best hidden/i })
      .first()
      .click();
    const table = page.locator('.reason-table');
    await table
      .getByText(/On the (molding “Belt line”|body gap “Door gap”)/)
      .first()
      .waitFor();
    const seams = await table.locator('tbody tr').count();
    expect(await page.locator('.plan-picture.is-large .seam-number').count()).toBe(seams);
    for (const next of await table.locator('td:last-child').allTextContents()) {
      expect(next).toMatch(/more|less|same cost|no other place/);
    }

    await page.getByRole('button', { name: 'Use this layout' }).first().click();
    await awaitSaved(page);
    expect(await layout()).not.toEqual(before);
    await page.getByText('✓ On the side now').waitFor();
    await page.getByRole('button', { name: 'Back to the bench' }).click();
    // Counted on the bench as the plan had promised.
    expect(await page.locator('.panel-table tbody tr').count()).toBe(Number(cheapest.Panels));
    await page.locator('.ruler-top .ruler-quiet').waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await awaitSaved(page);
    expect(await layout()).toEqual(before);
  });

  it('follow a body line that slopes, say so with its film, and give the seam its shape', async () => {
    const { sides, ...rest } = tallJob();
    const shape = [
      { alongMm: 0, offMm: 0 },
      { alongMm: 3100, offMm: 120 },
    ];
    const belt = { id: 'belt', name: 'Belt line', kind: 'molding', direction: 'horizontal' } as const;
    const side = { ...sides![0]!, bodyLines: [{ ...belt, atMm: 570, shape }] };
    await openTallJob({ ...rest, sides: [side] });
    await page.getByRole('button', { name: 'Suggest panel layouts', exact: true }).click();
    await awaitPlans(page);
    await page
      .getByRole('button', { name: /best hidden/i })
      .first()
      .click();
    const row = page.locator('.reason-table tbody tr').filter({ hasText: 'Follows the molding “Belt line”' });
    await row.first().waitFor();
    expect(await row.first().textContent()).toMatch(
      /Horizontal, 570 mm to 690 mm from the top.*Its shape takes \d\.\d\d m² more film/,
    );
    await page.locator('th.is-chosen').getByRole('button', { name: 'Use this layout' }).click();
    await awaitSaved(page);
    const joints = regionJoints(await layout()).filter(({ follows }) => follows === 'belt');
    expect(joints.length).toBeGreaterThan(0);
    expect(joints[0]).toMatchObject({ atMm: 570, shape });
    await page.getByRole('button', { name: 'Back to the bench' }).click();
    await page.getByRole('button', { name: 'Undo' }).click();
    await awaitSaved(page);
    expect(regionJoints(await layout()).some(({ follows }) => follows)).toBe(false);
  });

  it('compare the rolls that the shop has, say which roll each is for, and give it to the job', async () => {
    await openTallJob({ printer: { ...smallJob().printer, rollWidthMm: 1067 } });
    await page.getByRole('button', { name: 'Suggest panel layouts', exact: true }).click();
    await awaitPlans(page);
    const rolls = page.getByRole('group', { name: 'Rolls to compare' });
    expect(await rolls.getByRole('checkbox').count()).toBe(3);
    expect(await rolls.getByLabel('1067 mm, of this job').isDisabled()).toBe(true);
    expect(await rolls.getByLabel('1524 mm').isChecked()).toBe(true);
    const other = page.locator('.plan-head').filter({ hasText: 'and the job changes to it' }).first();
    const widthMm = Number(/Roll (\d+) mm wide/.exec((await other.textContent())!)![1]);
    expect([1524, 1372]).toContain(widthMm);

    const status = page.getByText('These layouts were suggested for other rolls.');
    await rolls.getByLabel('1524 mm').uncheck();
    await status.waitFor();
    await rolls.getByLabel('1524 mm').check();
    await status.waitFor({ state: 'detached' });
    await rolls.getByLabel('Other roll widths').fill('wide');
    await rolls.getByLabel('Other roll widths').press('Tab');
    await rolls.locator('.field-problem').waitFor();
    await rolls.getByLabel('Other roll widths').fill('');
    await rolls.getByLabel('Other roll widths').press('Tab');
    await rolls.locator('.field-problem').waitFor({ state: 'detached' });

    await other.getByRole('button', { name: 'Use this layout' }).click();
    await awaitSaved(page);
    expect((await stored()).printer.rollWidthMm).toBe(widthMm);
  });

  it('show the figures that an estimate rests on one click away, and keep what the shop enters', async () => {
    await openPlans();
    const cost = async () => (await figuresOf(page, /^Lowest cost/)).Cost;
    const before = await cost();
    await page.getByRole('button', { name: /^Cost ≈/ }).click();
    const labor = page.getByLabel('Labor, an hour');
    // Asked from outside: the page's security policy lets no text run as a program in it.
    await expect
      .poll(() => page.locator('input:focus').getAttribute('id'))
      .toBe(await labor.getAttribute('id'));
    await labor.fill('171');
    await labor.press('Tab');
    await awaitSaved(page);
    // One rate for plans and production, and kept with production.
    expect((await stored()).production?.figures).toMatchObject({ laborPerHour: 171, currency: 'EUR' });
    await page.getByText('Something has changed since these layouts were suggested').waitFor();
    await page.getByRole('button', { name: 'Suggest again' }).click();
    await expect.poll(cost, PLANNING).not.toBe(before);
    await labor.fill('much');
    await labor.press('Tab');
    await page.getByText('“much” is not a number.').waitFor();
    expect((await stored()).production?.figures.laborPerHour).toBe(171);
  });

  it('offer the lettering of the demo’s bookmobile, and keep clear only what is accepted', async () => {
    const { station, page } = shared;
    await addDemoKeepingClear(station, /555-0142/);
    await shared.showJobs();
    await page.getByRole('button', { name: 'Open the demo job' }).click();
    await page.getByRole('button', { name: 'Suggest panel layouts', exact: true }).click(PLANNING);
    await awaitPlans(page);
    const kept = async () => (await archivedJob(station, 'acl-bookmobile')).sides[0]!.noSeamAreas;
    const before = await kept();
    await page.getByRole('tab', { name: /Lettering/ }).click();
    await page.getByText('✓ In the no-seam area Lettering “555-0142”').waitFor();
    const offered = page
      .locator('.lettering-item')
      .filter({ has: page.getByRole('button', { name: 'Ignore' }) });
    const count = await offered.count();
    await offered.first().getByRole('button', { name: 'Ignore' }).click();
    expect(await offered.count()).toBe(count - 1);
    expect(await kept()).toEqual(before);
    await offered.first().getByRole('button', { name: 'Make no-seam area' }).click();
    await awaitSaved(page);
    expect((await kept()).length).toBe(before.length + 1);
    expect(await offered.count()).toBe(count - 2);
    await page.getByText('Something has changed since these layouts were suggested').waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await awaitSaved(page);
    expect(await kept()).toEqual(before);
  });

  it('say which limit must give way where there is none', async () => {
    await openTallJob({ printer: { ...smallJob().printer, name: 'Printer of one roll', rollWidthMm: 190 } });
    await page.getByRole('button', { name: 'Suggest panel layouts', exact: true }).click();
    const alert = page.getByRole('alert').filter({ hasText: 'keeps every limit' });
    await alert.waitFor(PLANNING);
    expect(await alert.textContent()).toMatch(/Film that prints .+ wider|several must give way/);
  });

  it('are called off by a button', async () => {
    await openTallJob();
    await page.route('**/ask/layout%3Asuggest', async () => {
      // Never answered: the planning takes for ever.
    });
    await page.getByRole('button', { name: 'Suggest panel layouts', exact: true }).click();
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.getByText('No layout was asked for yet.').waitFor();
    expect(await page.locator('.notice').count()).toBe(0);
    await page.unrouteAll();
  });

  it('have nothing that axe-core objects to, and the keyboard reaches them', async () => {
    await shared.station.smallJobAdded(tallJob({ displayUnit: 'in' }));
    const page = await shared.station.window({ bypassCSP: true });
    await openJobOn(page, 'SJ-7');
    await page.keyboard.press('F6');
    await page.keyboard.press('p');
    await awaitPlans(page);
    for (const tab of ['Cost card', 'Lettering']) {
      await page.getByRole('tab', { name: new RegExp(tab) }).click();
      expect(await axeViolations(page)).toEqual([]);
    }
    expect(await page.locator('.plan-table').textContent()).toMatch(/ft²/);
    await page.keyboard.press('Escape');
    await page.locator('.plans').waitFor({ state: 'detached' });
  });
});

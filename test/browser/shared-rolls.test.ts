import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Locator, Page } from 'playwright-core';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { Job, Region } from '../../core/job/schema.ts';
import { DEFAULT_PRODUCTION } from '../../core/shop/production-settings.ts';
import { narrowJob } from '../support/narrow-job.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { axeViolations, passFrames, startWorkstation, type Workstation } from './workstation.ts';

/** Planning shares the machine with other tests. */
const PLANNING = { timeout: 60_000 };
vi.setConfig({ testTimeout: 300_000 });

describeInBrowser('rolls that jobs share, on the screen', () => {
  let station: Workstation;

  beforeEach(async () => {
    station = await startWorkstation();
  });
  afterEach(async () => await station.close());

  const kept = async () => (await station.services.archive.shelf.items()).sharedRolls;

  async function addJob(id: string, number: string, over: Partial<Job> = {}): Promise<void> {
    const { artwork: _, ...job } = narrowJob(id, number, over);
    await station.smallJobAdded(job);
  }

  const awaitPlaceGone = (page: Page, address: string) =>
    page.evaluate(`location.hash = ${JSON.stringify(address)}`);

  /** From the list of jobs. */
  async function openShared(page: Page, ...numbers: string[]): Promise<void> {
    await awaitPlaceGone(page, '#/jobs');
    for (const number of numbers) await page.getByLabel(`Nest ${number} on shared rolls`).check();
    await page.getByRole('button', { name: `Nest ${numbers.length} jobs on shared rolls` }).click();
    await page.locator('.roll-panel').first().waitFor(PLANNING);
  }

  const panel = (page: Page, label: string): Locator =>
    page.getByRole('button', { name: new RegExp(`^${label},`) });

  /** The plan that the page shows once it has planned around a change. */
  const awaitSettled = async (page: Page) => {
    await passFrames(page);
    await page.getByText(/ of film\. /).waitFor(PLANNING);
  };
  /** What the archive holds of the locked panels; it is kept a moment after the page shows it. */
  const expectLocked = () => expect.poll(async () => (await kept())[0]?.locked, PLANNING);

  it('teaches, takes jobs from the list, and says which cannot go together', async () => {
    await addJob('a', 'BM-1');
    await addJob('b', 'OT-2');
    await addJob('c', 'WF-3', { film: { ...narrowJob('c', 'WF-3').film, name: 'Window film' } });
    const page = await station.window({ bypassCSP: true });
    await page.getByLabel('Nest BM-1 on shared rolls').check();
    expect(await page.getByRole('button', { name: 'Tick one more job to share rolls' }).isDisabled()).toBe(
      true,
    );
    await page.getByRole('button', { name: 'Untick all' }).click();
    await awaitPlaceGone(page, '#/shared-rolls');
    await page.getByRole('heading', { name: 'Several jobs, one film' }).waitFor();
    expect(await axeViolations(page)).toEqual([]);

    await openShared(page, 'BM-1', 'WF-3', 'OT-2');
    await page
      .getByText('Job WF-3 cannot share rolls with BM-1 and OT-2: film Window film instead of', {
        exact: false,
      })
      .waitFor();
    // The numbers of job and panel are on the film; a pattern tells the jobs apart, too.
    await page.locator('.roll-panel text', { hasText: 'OT-2 LH-01' }).waitFor();
    expect(await panel(page, 'BM-1 LH-01').locator('.job-pattern').count()).toBe(0);
    expect(await panel(page, 'OT-2 LH-01').locator('.job-pattern').count()).toBe(1);
    expect(await kept()).toEqual([]);
    await page.getByRole('button', { name: 'Keep this nesting' }).click();
    await page.getByText('Kept in the archive.').waitFor();
    expect(await kept()).toMatchObject([{ jobs: [{ id: 'a' }, { id: 'b' }], locked: [] }]);
  });

  it('checks a dragged panel, keeps it where it is let go, lays the rest around it, and takes it back', async () => {
    await addJob('a', 'BM-1');
    await addJob('b', 'OT-2');
    const page = await station.window();
    await openShared(page, 'BM-1', 'OT-2');
    const middle = async (label: string) => {
      const box = (await panel(page, label).boundingBox())!;
      return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
    };
    const [from, onto] = [await middle('BM-1 LH-01'), await middle('OT-2 LH-02')];
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(onto.x - 9, onto.y, { steps: 5 });
    await page.getByText(/(BM-1|OT-2) LH-0[12] lies on (BM-1|OT-2) LH-0[12]/).waitFor();
    await page.getByText(/^In hand:.*1 finding stops it\./).waitFor();
    const film = (await page.locator('.roll-film').first().boundingBox())!;
    await page.mouse.move(film.x + film.width * 0.8, from.y, { steps: 5 });
    await passFrames(page);
    expect(await page.getByText(/lies on/).count()).toBe(0);
    await page.mouse.up();
    await awaitSettled(page);
    await expectLocked().toMatchObject([{ panelId: 'a/p1', rollId: 'roll-1' }]);
    const [plan] = await kept();
    expect(plan!.placements).toHaveLength(4);
    expect(plan!.placements.find(({ panelId }) => panelId === 'a/p1')).toEqual(plan!.locked[0]);
    await panel(page, 'BM-1 LH-01').and(page.locator('.is-locked')).waitFor();

    await page.keyboard.press('Control+z');
    await awaitSettled(page);
    await expectLocked().toEqual([]);
    await page.keyboard.press('Control+y');
    await awaitSettled(page);
    await expectLocked().toEqual(plan!.locked);
  });

  it('moves, turns and locks by keys and typed lengths, and lays anew around what is locked', async () => {
    await addJob('a', 'BM-1');
    await addJob('b', 'OT-2');
    const page = await station.window();
    await openShared(page, 'BM-1', 'OT-2');
    const second = panel(page, 'OT-2 LH-02');
    await second.focus();
    const [, along] = /([\d.]+) mm from the start/.exec((await second.getAttribute('aria-label'))!)!;
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('ArrowRight');
    await awaitSettled(page);
    await expectLocked().toMatchObject([{ panelId: 'b/p2', yMm: Number(along) + 110 }]);
    const wasTurned = (await kept())[0]!.locked[0]!.turned;
    await second.focus();
    await page.keyboard.press('t');
    await awaitSettled(page);
    await expectLocked().toMatchObject([{ turned: !wasTurned }]);
    const start = page.getByRole('textbox', { name: 'From the start' });
    await start.fill('3.3 m');
    await start.press('Tab');
    await page.getByRole('button', { name: 'Re-nest' }).click();
    await awaitSettled(page);
    await expectLocked().toMatchObject([{ panelId: 'b/p2', yMm: 3300 }]);
    await page.getByRole('button', { name: 'Unlock all' }).click();
    await awaitSettled(page);
    await expectLocked().toEqual([]);
  });

  it('asks which plan holds where another window has changed it, and loses neither', async () => {
    await addJob('a', 'BM-1');
    await addJob('b', 'OT-2');
    const [page, other] = [await station.window({ bypassCSP: true }), await station.window()];
    await openShared(page, 'BM-1', 'OT-2');
    await page.getByRole('button', { name: 'Keep this nesting' }).click();
    await page.getByText('Kept in the archive.').waitFor();
    await openShared(other, 'BM-1', 'OT-2');
    const lock = async (at: Page, label: string) => {
      await panel(at, label).focus();
      await at.keyboard.press('l');
      await awaitSettled(at);
    };
    const question = (at: Page) =>
      at.getByRole('alert').filter({ hasText: 'Another window has changed this nesting.' });
    await lock(page, 'BM-1 LH-01');
    await expectLocked().toMatchObject([{ panelId: 'a/p1' }]);
    await lock(other, 'OT-2 LH-02');
    await question(other).waitFor();
    expect(await kept()).toMatchObject([{ locked: [{ panelId: 'a/p1' }] }]);
    await other.getByRole('button', { name: 'Open the nesting of the other window' }).click();
    await awaitSettled(other);
    await panel(other, 'BM-1 LH-01').and(other.locator('.is-locked')).waitFor();
    expect(await other.locator('.is-locked').count()).toBe(1);
    await question(other).waitFor({ state: 'detached' });

    await lock(other, 'OT-2 LH-02');
    await expectLocked().toMatchObject([{ panelId: 'a/p1' }, { panelId: 'b/p2' }]);
    await lock(page, 'OT-2 LH-01');
    await question(page).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await page.getByRole('button', { name: 'Keep this nesting instead' }).click();
    await expectLocked().toMatchObject([{ panelId: 'a/p1' }, { panelId: 'b/p1' }]);
    await question(page).waitFor({ state: 'detached' });
  });

  it('is there after a restart, and says which job has changed since', async () => {
    await addJob('a', 'BM-1');
    await addJob('b', 'OT-2');
    let page = await station.window();
    await openShared(page, 'BM-1', 'OT-2');
    await panel(page, 'BM-1 LH-02').focus();
    await page.keyboard.press('Shift+ArrowRight');
    await awaitSettled(page);
    await expectLocked().toHaveLength(1);
    const before = (await kept())[0]!;

    station = await station.restarted();
    page = await station.window();
    await page.getByRole('link', { name: 'BM-1, OT-2' }).click();
    await panel(page, 'BM-1 LH-02').and(page.locator('.is-locked')).waitFor(PLANNING);
    await page.getByText('Kept in the archive.').waitFor();
    expect(await kept()).toEqual([before]);

    const savedElsewhere = async (job: Job) => {
      const { archive, handlers } = station.services;
      const stored = await archive.jobs.find(job.id);
      if (!stored.ok) throw new Error(stored.problem.message);
      const context = { clientId: 'other', signal: new AbortController().signal, report: () => undefined };
      await handlers['job:save']({ job, baseRevision: stored.value.revision }, context);
    };
    const job = narrowJob('b', 'OT-2');
    const whole = { ...job, sides: [{ ...job.sides[0]!, layout: { kind: 'panel' as const, id: 'p1' } }] };
    await savedElsewhere(whole);
    await page.reload();
    await page
      .getByText(/^Job OT-2 has changed since this nesting was kept: .*OT-2 LH-02 is gone\.$/)
      .waitFor(PLANNING);
    await page.getByText('Kept in the archive, as it was before the changes.').waitFor();
    expect(await kept()).toEqual([before]);
    await page.getByRole('button', { name: 'Re-nest around the locked panels' }).click();
    await page.getByText('Kept in the archive.', { exact: true }).waitFor(PLANNING);
    expect(await kept()).toMatchObject([{ id: before.id, locked: before.locked }]);
    expect((await kept())[0]!.placements).toHaveLength(3);

    await savedElsewhere({ ...whole, film: { ...whole.film, name: 'Window film' } });
    await page.reload();
    await page.getByText('The nesting that was kept for these jobs no longer holds:').waitFor();
    await page.getByText(/^Job OT-2 cannot share rolls with BM-1: film Window film/).waitFor();

    await awaitPlaceGone(page, '#/jobs');
    await page
      .getByRole('region', { name: 'Shared nestings' })
      .getByRole('button', { name: 'Delete' })
      .click();
    await page.getByRole('link', { name: 'BM-1, OT-2' }).waitFor({ state: 'detached' });
    expect(await kept()).toEqual([]);
  });

  it('shows the rolls of each film that the jobs share, and keeps and writes each by itself', async () => {
    const onTwoFilms = (id: string, number: string): Partial<Job> => {
      const { film, printer, sides } = narrowJob(id, number);
      const [side] = sides as [Job['sides'][number]];
      if (side.layout.kind !== 'split') throw new Error('the side has no seam');
      const [first, second] = side.layout.parts as [Region, Region];
      const layout = { ...side.layout, parts: [first, { ...second, filmId: 'flat' }] };
      return {
        sides: [{ ...side, layout }],
        otherFilms: [{ id: 'flat', film: { ...film, name: 'Flat film' }, printer }],
      };
    };
    for (const [id, number] of [
      ['a', 'BM-1'],
      ['b', 'OT-2'],
    ] as const) {
      const { artwork: _, ...job } = { ...narrowJob(id, number), ...onTwoFilms(id, number) };
      await station.smallJobAdded(job);
    }
    const page = await station.window({ bypassCSP: true });
    await openShared(page, 'BM-1', 'OT-2');
    await panel(page, 'BM-1 LH-01').waitFor();
    expect(await panel(page, 'BM-1 LH-02').count()).toBe(0);
    await page.getByRole('button', { name: 'Keep this nesting' }).click();
    await page.getByText('Kept in the archive.').waitFor();

    await page.getByRole('button', { name: /^Go to the rolls of BM-1, OT-2 on Flat film/ }).press('Enter');
    await panel(page, 'OT-2 LH-02').waitFor(PLANNING);
    await page.getByText('Not kept yet.').waitFor();
    expect(await panel(page, 'BM-1 LH-01').count()).toBe(0);
    await panel(page, 'BM-1 LH-02').focus();
    await page.keyboard.press('l');
    await awaitSettled(page);
    await expect.poll(async () => (await kept()).length, PLANNING).toBe(2);
    await page.getByText('Kept in the archive.').waitFor();
    expect(await page.getByText(/print from one of them only/).count()).toBe(0);
    expect(await axeViolations(page)).toEqual([]);
    await page.getByRole('button', { name: 'Write the nesting sheet' }).click();
    await page.getByText(/as nesting_BM-1_OT-2_film-B\.pdf\./).waitFor(PLANNING);

    await page.reload();
    await page.getByRole('button', { name: /on Flat film/ }).click(PLANNING);
    await panel(page, 'BM-1 LH-02').and(page.locator('.is-locked')).waitFor(PLANNING);
    expect(await page.getByText('no longer holds').count()).toBe(0);
  });

  it('uses the rests of rolls of the job whose rolls hold, and writes the sheet', async () => {
    const rest = {
      id: 'rest-4',
      label: 'Rest on the lower shelf',
      widthMm: 1524,
      leftMarginMm: 10,
      rightMarginMm: 10,
      usableLengthMm: 7000,
      leadInMm: 180,
      tailMm: 170,
    };
    await addJob('a', 'BM-1');
    await addJob('b', 'OT-2', { production: { ...DEFAULT_PRODUCTION, rolls: [rest] } });
    const page = await station.window();
    // From the rolls of one job.
    await awaitPlaceGone(page, '#/production/a');
    await page.getByRole('button', { name: 'Share rolls with other jobs' }).click(PLANNING);
    await page.getByText('Add a job beside here that does so too', { exact: false }).waitFor();
    await page.getByLabel('Job of the archive').selectOption({ value: 'b' });
    await page.getByRole('button', { name: 'Add it to the rolls' }).click();
    await page.locator('.roll-panel').first().waitFor(PLANNING);
    await page.getByText(/full roll 1, 1524 mm wide/).waitFor();
    await page.getByLabel('Rolls and rules of job').selectOption({ label: 'OT-2' });
    await page.getByText(/Rest on the lower shelf, 1524 mm wide: \d+/).waitFor(PLANNING);
    await awaitSettled(page);
    await expect
      .poll(kept, PLANNING)
      .toMatchObject([{ jobs: [{ id: 'b' }, { id: 'a' }], rolls: [{ id: 'rest-4' }] }]);
    await page.getByRole('button', { name: 'Write the nesting sheet' }).click();
    await page.getByText(/The nesting sheet is in .* as nesting_OT-2_BM-1\.pdf\./).waitFor(PLANNING);
    expect(readdirSync(join(station.outputFolder))).toContain('nesting_OT-2_BM-1.pdf');
  });

  it('has nothing that axe-core objects to, in either theme and in inches', async () => {
    await addJob('a', 'BM-1', { displayUnit: 'in' });
    await addJob('b', 'OT-2');
    const page = await station.window({ bypassCSP: true });
    await openShared(page, 'BM-1', 'OT-2');
    expect(await page.locator('.verdict').textContent()).toMatch(/^115\s9\/16\sin of film/);
    await panel(page, 'BM-1 LH-01').focus();
    await page.keyboard.press('l');
    await awaitSettled(page);
    expect(await axeViolations(page)).toEqual([]);
  });
});

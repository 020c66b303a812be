import type { Page, Request } from 'playwright-core';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import {
  archivedJob,
  awaitSaved,
  axeViolations,
  chooseJobAct,
  clickBench,
  openJobOn,
  passFrames,
  startWorkstation,
  type Workstation,
} from './workstation.ts';

/** An edit is kept a moment after it was made. */
const SOON = { timeout: 15_000 };

describeInBrowser('the screens for everybody', () => {
  describe('in windows of their own', () => {
    let station: Workstation;

    beforeEach(async () => {
      station = await startWorkstation();
    });
    afterEach(async () => await station.close());

    const side = async () => (await archivedJob(station, 'small-job')).sides[0]!;

    it('have nothing that axe-core objects to, in either theme', async () => {
      const page = await station.window({ bypassCSP: true });
      const found: string[] = [];
      const look = async (where: string) => {
        for (const violation of await axeViolations(page)) found.push(`${where}: ${violation}`);
      };
      await look('no jobs');
      await station.smallJobAdded();
      await page.reload();
      await page.getByRole('link', { name: 'SJ-7' }).waitFor();
      await look('jobs');
      await page.getByRole('button', { name: 'New job' }).click();
      await look('new job');
      await page.getByRole('button', { name: 'Cancel' }).click();
      await openJobOn(page, 'SJ-7');
      for (const tab of ['Job', 'Artwork']) {
        await page.getByRole('tab', { name: tab, exact: true }).click();
        await look(`bench, ${tab}`);
      }
      await clickBench(page, 1330, 900);
      await look('bench, seam');
      await clickBench(page, 2300, 500);
      await look('bench, panel');
      await page.getByRole('tab', { name: 'Side', exact: true }).click();
      await look('bench, side');
      await page.getByRole('tab', { name: /Findings/ }).click();
      await look('bench, findings');
      await page.getByRole('button', { name: 'Artwork pages' }).click();
      await look('bench, page');
      await page.keyboard.press('Shift+F1');
      await look('keys');
      await page.keyboard.press('Escape');
      for (const screen of ['Sheets', 'Output']) {
        await page.getByRole('link', { name: screen }).click();
        await look(screen);
      }
      const reading = Promise.withResolvers<void>();
      await page.route('**/ask/output%3Alist', async (route) => {
        await reading.promise;
        await route.continue();
      });
      await page.getByRole('link', { name: 'History' }).click();
      await page.getByText('Reading the history').waitFor();
      await look('history, while it is read');
      reading.resolve();
      await page.getByRole('heading', { name: 'Nothing was written yet' }).waitFor();
      await look('history');
      expect(found).toEqual([]);
    }, 120_000);

    it('have nothing that axe-core objects to when they are full, in either theme', async () => {
      await station.smallJobAdded({ notes: 'Ask for the keys at the circulation desk' });
      const page = await station.window({ bypassCSP: true });
      const found: string[] = [];
      const look = async (where: string) => {
        for (const violation of await axeViolations(page)) found.push(`${where}: ${violation}`);
      };
      await chooseJobAct(page, 'SJ-7', 'Duplicate…');
      await look('duplicate');
      await page.getByRole('button', { name: 'Cancel' }).click();
      await page.getByLabel(/^Search customer/).fill('zeppelin');
      await page.getByText(/No job matches/).waitFor();
      await look('no job found');
      await page.getByRole('button', { name: 'View all jobs' }).click();
      await openJobOn(page, 'SJ-7');
      await page.getByRole('tab', { name: 'Side', exact: true }).click();
      await page.getByLabel('Bottom', { exact: true }).fill('a lot');
      await page.keyboard.press('Enter');
      await look('a field with a problem');
      await page.keyboard.press('Escape');
      await page.getByRole('tab', { name: /Findings/ }).click();
      await page.locator('summary', { hasText: 'View' }).click();
      await look('what is shown');
      await page.getByRole('link', { name: 'Sheets' }).click();
      await page.locator('img.sheet-picture').waitFor({ timeout: 60_000 });
      await look('a sheet');
      await page.getByRole('link', { name: 'Output' }).click();
      await page.getByRole('button', { name: 'Select a folder and write' }).click();
      await page.locator('.progress').waitFor();
      await look('writing');
      await page.getByRole('heading', { name: 'Output 1' }).waitFor({ timeout: 60_000 });
      await look('written');
      await page.getByRole('link', { name: 'History' }).click();
      await page.getByRole('button', { name: 'View files' }).click();
      await look('history');
      await page.getByRole('button', { name: 'Reprint panels of Output 1' }).click();
      await page.getByRole('checkbox', { name: 'LH-02' }).check();
      await look('a reprint');
      expect(found).toEqual([]);
    }, 120_000);

    it('are worked with the keyboard alone', async () => {
      await station.smallJobAdded();
      const page = await station.window();
      await page.getByRole('link', { name: 'SJ-7' }).waitFor();
      await tabTo(page, 'SJ-7');
      await page.keyboard.press('Enter');
      await page.locator('.panel').first().waitFor();
      await page.keyboard.press('F6');
      await page.keyboard.press('s');
      await page.keyboard.press('Shift+ArrowRight');
      await page.keyboard.press('ArrowRight');
      await awaitSaved(page);
      await expect.poll(async () => (await side()).layout, SOON).toMatchObject({ joints: [{ atMm: 1341 }] });
      await page.getByText(/Vertical overlap seam\. 1341 mm from/).waitFor();
      await page.keyboard.press('Enter');
      await page.keyboard.press('Control+a');
      await page.keyboard.type('1500');
      await page.keyboard.press('Enter');
      await page.keyboard.press('F6');
      await page.keyboard.press('Escape');
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('ArrowRight');
      await page.locator('.panel-table tr.is-chosen').waitFor();
      await page.keyboard.press('Enter');
      await page.keyboard.press('Control+a');
      await page.keyboard.type('2200');
      await page.keyboard.press('Enter');
      await awaitSaved(page);
      await page.keyboard.press('F6');
      await page.keyboard.press('Control+z');
      await page.keyboard.press('Control+y');
      await awaitSaved(page);
      await expect
        .poll(async () => (await side()).layout, SOON)
        .toMatchObject({ joints: [{ atMm: 1500 }, { atMm: 2200 }] });
      expect(await page.locator('.panel-table tbody tr').count()).toBe(3);
      await page.keyboard.press('s');
      await page.keyboard.press('Delete');
      await awaitSaved(page);
      expect(await page.locator('.panel-table tbody tr').count()).toBe(2);
      await page.keyboard.press('Control+4');
      await page.getByRole('heading', { name: 'Output' }).waitFor();
      await page.keyboard.press('Shift+F1');
      await page.getByRole('dialog', { name: 'Shortcuts' }).waitFor();
      await page.keyboard.press('Escape');
      await page.getByRole('dialog').waitFor({ state: 'detached' });
    });

    it('keep what is half typed when facts of the artwork arrive late', async () => {
      await station.smallJobAdded();
      const page = await station.window();
      const held: (() => void)[] = [];
      await page.route('**/ask/artwork%3Afacts', async (route) => {
        const response = await route.fetch();
        if (!route.request().postData()!.includes('"isBrief":true')) {
          await new Promise<void>((resolve) => held.push(resolve));
        }
        await route.fulfill({ response });
      });
      await openJobOn(page, 'SJ-7');
      await clickBench(page, 2300, 500);
      const place = page.getByLabel('Cut at, from the left of the side');
      await place.click();
      await page.keyboard.press('Control+a');
      await page.keyboard.type('2200');
      await expect.poll(() => held.length, { timeout: 30_000 }).toBe(1);
      // A window that has its answer may drop the rest of the response, which then counts as failed.
      const isFacts = (request: Request) => request.url().endsWith('/ask/artwork%3Afacts');
      const arrived = Promise.race([
        page.waitForEvent('requestfinished', isFacts),
        page.waitForEvent('requestfailed', isFacts),
      ]);
      held[0]!();
      await arrived;
      await passFrames(page);
      expect(await place.inputValue()).toBe('2200');
      await page.keyboard.press('Enter');
      await awaitSaved(page);
      expect((await side()).layout).toMatchObject({ joints: [{ atMm: 1330 }, { atMm: 2200 }] });
    });

    it('keep light and dark where they were set', async () => {
      const page = await station.window({ colorScheme: 'light' });
      await page.keyboard.press('Shift+F1');
      await page.getByRole('button', { name: 'Dark' }).click();
      await page.reload();
      await page.getByRole('heading', { name: 'Jobs', exact: true }).waitFor();
      const ground = await page.evaluate<string>('getComputedStyle(document.body).backgroundColor');
      expect(ground).toBe('rgb(29, 29, 29)');
    });
  });

  describe('in one window', () => {
    const shared = sharedWindow();

    it('do not take typing for commands', async () => {
      await shared.openNewJob();
      const { page } = shared;
      await page.getByRole('tab', { name: 'Job', exact: true }).click();
      const notes = page.getByLabel('Notes');
      await notes.click();
      await page.keyboard.type('vhbs+-0');
      expect(await notes.inputValue()).toBe('vhbs+-0');
      expect(
        await page.getByRole('button', { name: 'Select', exact: true }).getAttribute('aria-pressed'),
      ).toBe('true');
    });

    it('save a note while it is being typed, as one step of undo', async () => {
      const { id } = await shared.openNewJob();
      const { page } = shared;
      const notes = () => expect.poll(async () => (await archivedJob(shared.station, id)).notes, SOON);
      await page.getByRole('tab', { name: 'Job', exact: true }).click();
      await page.getByLabel('Notes').click();
      await page.keyboard.type('Ask about');
      await notes().toBe('Ask about');
      await page.keyboard.type(' the ladder');
      await notes().toBe('Ask about the ladder');
      await page.keyboard.press('F6');
      await page.keyboard.press('Control+z');
      await notes().toBe('');
    });

    it('show the keys of every command that has one, each key once where it counts', async () => {
      await shared.showJobs();
      const { page } = shared;
      await page.keyboard.press('Shift+F1');
      const rows = await page.locator('.dialog tbody tr').allTextContents();
      expect(rows.length).toBeGreaterThan(40);
      expect(rows.some((row) => row.includes('Cut a panel with a vertical seam'))).toBe(true);
    });

    it.each([70, 200])('fit at %d percent of the usual size', async (zoomPercent) => {
      const { page, station } = shared;
      const { number } = await station.smallJobAdded({
        id: `fit-${zoomPercent}`,
        number: `FIT-${zoomPercent}`,
      });
      await shared.showJobs();
      await page.evaluate(`localStorage.setItem('panelwright-settings', '{"zoomPercent":${zoomPercent}}')`);
      await page.reload();
      await openJobOn(page, number);
      const widths = await page.evaluate<[number, number]>(
        '[document.documentElement.scrollWidth, window.innerWidth]',
      );
      expect(widths[0]).toBeLessThanOrEqual(widths[1]);
      const canvas = (await page.locator('.bench-area').boundingBox())!;
      expect(canvas.width).toBeGreaterThan(300);
      expect(canvas.height).toBeGreaterThan(100);
    });
  });

  async function tabTo(page: Page, text: string): Promise<void> {
    for (let presses = 0; presses < 40; presses++) {
      await page.keyboard.press('Tab');
      if ((await page.evaluate<string>('document.activeElement.textContent')) === text) return;
    }
    throw new Error(`Tab never came to ${text}.`);
  }
});

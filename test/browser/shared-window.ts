import type { BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll } from 'vitest';
import type { Job } from '../../core/job/schema.ts';
import { startWorkstation, type Workstation } from './workstation.ts';

export interface SharedWindow {
  readonly station: Workstation;
  readonly page: Page;
  /** The list of jobs. */
  showJobs(): Promise<void>;
  /** A job of the test’s own, on the bench as in a window that was just opened. */
  openNewJob(over?: Partial<Job>): Promise<Job>;
}

/**
 * One window for the tests of a `describe`, of which each has a job of its own in it: loading the screens takes longer than
 * most of them.
 */
export function sharedWindow(options: BrowserContextOptions = {}): SharedWindow {
  let station: Workstation;
  let page: Page;
  let jobs = 0;
  beforeAll(async () => {
    station = await startWorkstation();
    page = await station.window(options);
  });
  afterAll(async () => await station.close());
  // What a test that failed has left there fails no other.
  afterEach(async ({ task }) => {
    if (task.result?.state === 'fail') await page.reload();
  });

  async function showJobs(): Promise<void> {
    await page.evaluate("location.hash = '#/jobs'");
    await page.getByRole('heading', { name: 'Jobs', exact: true }).waitFor();
  }

  return {
    get station() {
      return station;
    },
    get page() {
      return page;
    },
    showJobs,
    async openNewJob(over = {}) {
      jobs += 1;
      const job = await station.smallJobAdded({ id: `job-${jobs}`, number: `SJ-${jobs}`, ...over });
      await showJobs();
      await page.evaluate(`location.hash = '#/bench/${job.id}'`);
      await page.locator('.header-job', { hasText: job.number }).waitFor();
      await page.locator('.panel').first().waitFor({ state: 'attached' });
      for (const tab of [/^Panels \d/, /^Job$/]) await page.getByRole('tab', { name: tab }).click();
      return job;
    },
  };
}

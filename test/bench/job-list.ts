/**
 * The list of 100,000 jobs on the screen: `npm run bench job-list [jobs]`. It is scrolled from end to end, walked through by
 * keys and searched; `longestTaskMs` is the longest piece of work without a pause on the page's main thread, by its own time,
 * so that other work on the machine does not count. `reloadBytes` is what the browser fetches when the page is loaded again.
 */
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { databasePath } from '../../main/archive/database.ts';
import { closeShared, passFrames, startWorkstation } from '../browser/workstation.ts';
import { addManyJobs } from '../support/many-jobs.ts';
import { longestTaskMs } from './screens/frames.ts';

const JOBS = 100_000;
const SCROLLS = 120;

export async function run(args: string[]): Promise<void> {
  const jobs = Number(args[0] ?? JOBS);
  const station = await startWorkstation();
  try {
    addManyJobs(databasePath(join(station.folder, 'archive')), jobs);
    const page = await station.window({ viewport: { width: 1920, height: 1080 } });
    await page.getByRole('link', { name: `BM-${jobs}`, exact: true }).waitFor();
    const rows = async () => await page.locator('.jobs-table tbody tr').count();
    let mostRows = await rows();
    const longest = await longestTaskMs(page, async () => {
      for (let n = 0; n < SCROLLS; n++) {
        await page.evaluate(`(() => {
          const frame = document.querySelector('.jobs-table');
          frame.scrollTop = frame.scrollHeight * ${(n * 37) % SCROLLS} / ${SCROLLS};
        })()`);
        await passFrames(page);
        mostRows = Math.max(mostRows, await rows());
      }
      await page.locator('.jobs-table a').first().focus();
      for (const key of [
        'End',
        'PageUp',
        'ArrowUp',
        'Home',
        ...Array.from({ length: 60 }, () => 'ArrowDown'),
      ])
        await page.keyboard.press(key);
      for (const text of ['a', 'al', 'ald', 'alder', 'alder bm-43', '']) {
        await page.getByLabel(/^Search customer/).fill(text);
        await passFrames(page);
      }
      await page.getByRole('link', { name: `BM-${jobs}`, exact: true }).waitFor();
    });
    const nodes = await page.evaluate<number>('document.querySelectorAll("*").length');
    const reloadBytes = await bytesOfReload(page, `BM-${jobs}`);
    console.log(JSON.stringify({ jobs, mostRows, nodes, longestTaskMs: longest, reloadBytes }));
  } finally {
    await station.close();
    await closeShared();
  }
}

async function bytesOfReload(page: Page, firstNumber: string): Promise<number> {
  const session = await page.context().newCDPSession(page);
  let bytes = 0;
  session.on('Network.loadingFinished', ({ encodedDataLength }) => {
    bytes += encodedDataLength;
  });
  await session.send('Network.enable');
  await page.reload();
  await page.getByRole('link', { name: firstNumber, exact: true }).waitFor();
  await page.waitForLoadState('networkidle');
  return bytes;
}

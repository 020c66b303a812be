/** Two windows on one archive: the one that reads follows the one that edits, and takes over what it asks for. */
import { afterAll, beforeAll, expect, it } from 'vitest';
import { describeInBrowser } from './describe-in-browser.ts';
import { dragBench, openJobOn, seenText, startWorkstation, type Workstation } from './workstation.ts';

describeInBrowser('two windows on one archive', () => {
  let station: Workstation;

  beforeAll(async () => {
    station = await startWorkstation();
  });
  afterAll(async () => {
    await station.close();
  });

  it('the reader follows what is saved, and edits the job once it is handed over', async () => {
    const job = await station.smallJobAdded();
    const [first, second] = [await station.window(), await station.window()];
    await openJobOn(first, job.number);
    await openJobOn(second, job.number);
    await second.getByText(/ at .* since /).waitFor();
    await second.getByText('Read only').waitFor();
    const before = await seenText(second, '.panel-table');
    await dragBench(first, [1330, 900], [1602, 900]);
    await expect.poll(() => seenText(second, '.panel-table'), { timeout: 20_000 }).not.toBe(before);
    await second.getByRole('button', { name: 'Ask to edit' }).click();
    await first.getByText(/would like to edit this job/).waitFor();
    await first.getByRole('button', { name: 'Hand over' }).click();
    await second.getByText('Saved', { exact: true }).waitFor();
    await first.getByText('Read only').waitFor();
    expect(await second.getByRole('button', { name: 'Ask to edit' }).count()).toBe(0);
  });
});

import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { rawPdf } from '../support/raw-pdf.ts';
import { runTool } from '../support/tools.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { archivedJob, awaitSaved, startWorkstation } from './workstation.ts';

describeInBrowser('a template with a password', () => {
  it('asks for it when it is taken in, and once more after the program was started again', async () => {
    let own = await startWorkstation();
    onTestFinished(async () => await own.close());
    const job = await own.smallJobAdded({ id: 'job-1', number: 'SJ-1' });
    const side = job.sides[0]!;
    const [plain, locked] = [join(own.folder, 'plain.pdf'), join(own.folder, 'van.pdf')];
    await writeFile(plain, rawPdf({ page: '/MediaBox [0 0 1000 500]', content: '0 200 m 1000 240 l S' }));
    runTool('qpdf', ['--encrypt', 'maple7', 'owner', '256', '--', plain, locked]);
    let page = await own.window();
    const openSide = async () => {
      await page.evaluate(`location.hash = '#/bench/${job.id}'`);
      await page.locator('.panel').first().click();
      await page
        .getByRole('navigation', { name: 'On the bench' })
        .getByRole('button', { name: side.code })
        .click();
      await page.getByRole('tab', { name: 'Side', exact: true }).click();
    };
    const asked = () => page.getByRole('dialog', { name: 'Password of the template' });
    const give = async (password: string) => {
      await asked().getByLabel('Password').fill(password);
      await asked().getByRole('button', { name: 'Open' }).click();
    };

    await openSide();
    await page.getByLabel('Template of the side').setInputFiles(locked);
    await give('oak');
    await asked()
      .getByText(/wrong|not the password|does not open/i)
      .waitFor();
    await give('maple7');
    await page.getByRole('button', { name: 'Keep the template' }).click();
    await page.getByRole('button', { name: 'Trace the 1 path' }).waitFor();
    await awaitSaved(page);
    const kept = await archivedJob(own, job.id);
    expect(kept.sides[0]!.template).toMatchObject({ file: { fileName: 'van.pdf' } });
    expect(JSON.stringify(kept)).not.toContain('maple7');

    own = await own.restarted();
    page = await own.window();
    await openSide();
    await page.getByRole('button', { name: 'Line it up…' }).click();
    await asked()
      .getByText(/van\.pdf/)
      .waitFor();
    await asked().getByRole('button', { name: 'Cancel' }).click();
    await asked().waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Trace its paths' }).click();
    await give('maple7');
    await page.getByRole('button', { name: 'Trace the 1 path' }).waitFor();
  });
}, ['qpdf']);

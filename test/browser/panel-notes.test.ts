import { expect, it } from 'vitest';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import { axeViolations } from './workstation.ts';

/** One pixel. */
const PNG = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==',
  'base64',
);

describeInBrowser('notes at a panel', () => {
  const shared = sharedWindow({ bypassCSP: true });

  it('are written with a photo, seen at the panel and where it is reprinted, and removed', async () => {
    const job = await shared.openNewJob();
    const { page, station } = shared;
    await page.locator('.panel').first().click();
    await page.getByRole('button', { name: 'Add a note at LH-01' }).click();
    await page.keyboard.type('Rivet under the edge');
    await page.getByLabel('By', { exact: true }).fill('Ada');
    await page.getByLabel('Photos').setInputFiles([
      { name: 'edge.png', mimeType: 'image/png', buffer: PNG },
      { name: 'notes.txt', mimeType: 'text/plain', buffer: Buffer.from('no picture') },
    ]);
    await page.getByRole('button', { name: 'Save the note' }).click();
    await page.getByText('Rivet under the edge').waitFor();
    await page.getByRole('img', { name: 'edge.png, of LH-01' }).waitFor();
    await page.getByText(/notes\.txt is not a JPEG, PNG or WebP picture/).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    const [kept] = await station.services.archive.notes.list(job.id);
    expect(kept).toMatchObject({ by: 'Ada', panelLabel: 'LH-01', photos: [{ fileName: 'edge.png' }] });
    await page
      .getByRole('button', { name: 'View edge.png' })
      .or(page.getByTitle('View edge.png'))
      .first()
      .click();
    await page.getByRole('dialog', { name: 'edge.png' }).getByRole('button', { name: 'Close' }).click();
    // A message may lie over it.
    await page.getByRole('button', { name: 'Remove this note of LH-01' }).press('Enter');
    await expect.poll(async () => await station.services.archive.notes.list(job.id)).toEqual([]);
    await page.getByText('Rivet under the edge').waitFor({ state: 'detached' });
  });
});

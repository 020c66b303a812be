import { expect, it } from 'vitest';
import { linePath } from '../../core/job/line-path.ts';
import { rawPdf } from '../support/raw-pdf.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import { archivedJob, awaitSaved, axeViolations, clickBench } from './workstation.ts';

/** A frame that shows; on a layer that is off a belt line, a window and the lower edge, from 0 to 380 units high. */
const TEMPLATE = rawPdf({
  page: '/MediaBox [0 0 1000 500]',
  catalog: '/OCProperties << /OCGs [20 0 R] /D << /OFF [20 0 R] >> >>',
  resources: '/Properties << /V 20 0 R >>',
  content: `0 0 1000 500 re S /OC /V BDC 1 0 0 RG 2 w 0 200 m 300 200 600 240 1000 240 c S
    0 0 1 RG 1 w 300 280 200 100 re S 1 0 0 RG 0 0 m 1000 0 l S EMC`,
  objects: { 20: '<< /Type /OCG /Name (Vehicle) >>' },
});

describeInBrowser('a template of a side', () => {
  const shared = sharedWindow({ bypassCSP: true });

  it('is selected, lined up, traced by click, by keys and all at once, undone and kept', async () => {
    const job = await shared.openNewJob();
    const { page, station } = shared;
    const side = job.sides[0]!;
    await page.locator('.panel').first().click();
    await page
      .getByRole('navigation', { name: 'On the bench' })
      .getByRole('button', { name: side.code })
      .click();
    await page.getByRole('tab', { name: 'Side', exact: true }).click();
    await page
      .getByLabel('Template of the side')
      .setInputFiles({ name: 'van.pdf', mimeType: 'application/pdf', buffer: Buffer.from(TEMPLATE) });
    const dialog = page.getByRole('dialog', { name: `Template to trace on ${side.name}` });
    await dialog.getByLabel('Layer').selectOption({ label: 'Vehicle: 3 paths, off' });
    await dialog.getByText('The template is enlarged').waitFor();
    expect(await axeViolations(page)).toEqual([]);
    if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/template-dialog.png` });
    await dialog.getByRole('button', { name: 'Keep the template' }).click();
    await dialog.waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Trace all 3 paths' }).waitFor();
    if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/template-trace.png` });
    const lines = async () => {
      await awaitSaved(page);
      return (await archivedJob(station, job.id)).sides[0]!.bodyLines.map((line) => {
        const path = linePath(line);
        return [line.direction, ...[path[0]!, path.at(-1)!].map(({ across }) => Math.round(across))];
      });
    };
    // 3.1 mm a unit, the middle of the box at 650 mm: the belt line runs from 619 down to 495 mm.
    await clickBench(page, 1550, 557);
    await page.getByText('1 line or area was made.').waitFor();
    expect(await lines()).toEqual([['horizontal', 619, 495]]);

    await page.getByLabel('Kind of line').selectOption('body-gap');
    await page.getByLabel('Paths of color').selectOption('#0000ff');
    await page.locator('.bench-area').focus();
    await page.keyboard.press('ArrowRight');
    await page.getByText('Path 1 of 1. Closed path').waitFor();
    await page.keyboard.press('Enter');
    await page.getByText('4 lines and areas were made.').waitFor();
    expect((await lines()).slice(1).toSorted()).toEqual([
      ['horizontal', 371, 371],
      ['horizontal', 61, 61],
      ['vertical', 1550, 1550],
      ['vertical', 930, 930],
    ]);
    await page.getByRole('button', { name: 'Undo' }).click();
    expect(await lines()).toHaveLength(1);

    await page.getByLabel('Paths of color').selectOption('Any');
    await page.getByLabel('Paths of line width').selectOption('line of 1 pt');
    await page.getByRole('button', { name: 'Trace all 2 paths' }).click();
    await page.getByText('5 lines and areas were made.').waitFor();

    await page.getByRole('button', { name: 'Line it up…' }).click();
    await dialog.getByRole('radio', { name: 'By two points' }).check();
    await dialog.getByRole('button', { name: 'Remove Point 2' }).click();
    await dialog.getByText('Mark two points on the template').waitFor();
    if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/template-points.png` });
    await dialog.getByRole('button', { name: 'Cancel' }).click();
    const kept = (await archivedJob(station, job.id)).sides[0]!.template!;
    expect(kept).toMatchObject({ page: 1, layer: 'Vehicle', file: { fileName: 'van.pdf' } });
    await page.getByRole('button', { name: 'Remove the template' }).click();
    await page.getByRole('button', { name: 'Select a PDF…' }).waitFor();
  });
});

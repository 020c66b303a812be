import type { Page } from 'playwright-core';
import { beforeEach, expect, it } from 'vitest';
import type { Job } from '../../core/job/schema.ts';
import { smallJob } from '../support/small-job.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import {
  archivedJob,
  awaitSaved,
  benchPoint,
  clickBench,
  dragBench,
  passFrames,
  seenText,
} from './workstation.ts';

describeInBrowser('the bench', () => {
  const shared = sharedWindow();
  let page: Page;
  let job: Job;

  beforeEach(async () => {
    job = await shared.openNewJob();
    page = shared.page;
  });

  const inspector = () => page.getByRole('complementary', { name: 'Inspector' });
  const place = () => inspector().getByLabel('From the left of the side');
  const readPlace = async () => await place().inputValue();
  const stored = async () => await archivedJob(shared.station, job.id);
  const side = async () => (await stored()).sides[0]!;
  const seams = async () => {
    const { layout } = await side();
    return layout.kind === 'split' ? layout.joints.map(({ atMm }) => atMm) : [];
  };
  const panelLabels = async () => await page.locator('.panel-table tbody .row-button').allTextContents();

  it('moves a seam by dragging, in one step of undo, and saves it', async () => {
    await dragBench(page, [1330, 900], [1602, 900]);
    expect(await readPlace()).toBe('1600 mm');
    await awaitSaved(page);
    expect(await seams()).toEqual([1600]);
    await page.keyboard.press('Control+z');
    expect(await readPlace()).toBe('1330 mm');
    await awaitSaved(page);
    expect(await seams()).toEqual([1330]);
    await page.keyboard.press('Control+y');
    expect(await readPlace()).toBe('1600 mm');
  });

  it('moves a seam freely with Alt held', async () => {
    await dragBench(page, [1330, 900], [1604, 900], { isFree: true });
    const at = Number.parseFloat(await readPlace());
    expect(Math.abs(at - 1604)).toBeLessThan(4);
    expect(at % 10).not.toBe(0);
  });

  it('draws a seam to the middle before a whole centimeter', async () => {
    await dragBench(page, [1330, 900], [1546, 900]);
    expect(await readPlace()).toBe('1550 mm');
  });

  it('tells both neighbors and the film width left while a seam is dragged', async () => {
    const [from, to] = [await benchPoint(page, 1330, 900), await benchPoint(page, 1500, 900)];
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(to.x, to.y, { steps: 5 });
    await passFrames(page);
    const words = await seenText(page, '.readout');
    expect(words).toContain('1500 × 1300 mm');
    expect(words).toContain('1600 × 1300 mm');
    expect(words).toContain('of film width left');
    await page.keyboard.press('Escape');
    await page.mouse.up();
    await passFrames(page);
    expect(await readPlace()).toBe('1330 mm');
  });

  it('cuts a panel across and another along, and opens again exactly as it was left', async () => {
    await page.getByRole('button', { name: 'Seam, vertical' }).click();
    await clickBench(page, 2402, 600);
    await page.getByRole('button', { name: 'Seam, horizontal' }).click();
    await clickBench(page, 700, 512);
    expect(await panelLabels()).toHaveLength(4);
    await awaitSaved(page);
    const saved = (await side()).layout;
    expect(await seams()).toEqual([1330, 2400]);
    expect(saved.kind === 'split' && saved.parts[0]).toMatchObject({
      kind: 'split',
      seams: 'horizontal',
      joints: [{ atMm: 510 }],
    });
    await page.reload();
    await page.locator('.panel-table tbody tr').first().waitFor();
    expect(await panelLabels()).toHaveLength(4);
    expect((await side()).layout).toEqual(saved);
    await page.locator('.header-save', { hasText: /^Saved$/ }).waitFor();
  });

  it('takes an exact place in any unit and refuses one beyond the neighbors', async () => {
    await clickBench(page, 1330, 900);
    await place().fill('4 ft');
    await place().press('Enter');
    await awaitSaved(page);
    expect((await seams())[0]).toBeCloseTo(1219.2, 6);
    await place().fill('99 m');
    await place().press('Enter');
    await inspector()
      .getByText(/must stay between/)
      .waitFor();
    expect((await seams())[0]).toBeCloseTo(1219.2, 6);
  });

  it('keeps Ctrl+Z in a field for the field', async () => {
    await dragBench(page, [1330, 900], [1602, 900]);
    await place().fill('1700');
    await place().press('Control+z');
    expect(await page.getByRole('button', { name: 'Undo' }).isEnabled()).toBe(true);
    await awaitSaved(page);
    expect(await seams()).toEqual([1600]);
  });

  it('changes how the parts meet, for one seam and for all', async () => {
    await page.getByRole('button', { name: 'Seam, vertical' }).click();
    await clickBench(page, 2200, 600);
    await page.keyboard.press('Escape');
    await page.keyboard.press('Control+a');
    await inspector().getByRole('heading', { name: '2 seams' }).waitFor();
    const overlap = inspector().getByLabel('Printed overlap');
    await overlap.fill('40');
    await overlap.press('Enter');
    await awaitSaved(page);
    const joints = async () => {
      const { layout } = await side();
      return layout.kind === 'split' ? layout.joints : [];
    };
    expect((await joints()).map(({ firstMm, secondMm }) => firstMm + secondMm)).toEqual([40, 40]);
    const tops = (await joints()).map(({ top }) => top);
    await page.locator('.bench-area').focus();
    await page.keyboard.press('t');
    await awaitSaved(page);
    expect((await joints()).map(({ top }) => top)).toEqual(
      tops.map((top) => (top === 'first' ? 'second' : 'first')),
    );
    await page.keyboard.press('2');
    await awaitSaved(page);
    expect((await joints()).map(({ kind }) => kind)).toEqual(['butt', 'butt']);
    await page.keyboard.press('e');
    await awaitSaved(page);
    // A third and two thirds of 3100 mm, on whole millimeters.
    expect(await seams()).toEqual([1033, 2067]);
    await page.keyboard.press('l');
    await awaitSaved(page);
    expect((await joints()).every(({ locked }) => locked)).toBe(true);
  });

  it('draws lines and areas, and names and sizes them in the inspector', async () => {
    await page.getByRole('button', { name: 'Area, no film' }).click();
    await dragBench(page, [300, 200], [800, 550]);
    await inspector().getByLabel('Name').fill('Side window');
    await inspector().getByLabel('Width').fill('510');
    await inspector().getByLabel('Width').press('Enter');
    await page.getByRole('button', { name: 'Area, no seam' }).click();
    await dragBench(page, [1800, 300], [2600, 500]);
    await page.getByRole('button', { name: 'Area, ground' }).click();
    await dragBench(page, [1800, 800], [2000, 1000]);
    await page.getByRole('button', { name: 'Body line, horizontal' }).click();
    await clickBench(page, 1000, 700);
    await awaitSaved(page);
    expect((await side()).noFilmAreas).toMatchObject([
      { name: 'Side window', kind: 'window', rect: { xMm: 300, yMm: 200, widthMm: 510, heightMm: 350 } },
    ]);
    expect((await side()).noSeamAreas).toMatchObject([
      { rect: { xMm: 1800, yMm: 300, widthMm: 800, heightMm: 200 } },
    ]);
    expect((await side()).ground).toHaveLength(1);
    expect((await side()).bodyLines).toMatchObject([{ direction: 'horizontal', atMm: 700 }]);
    await page.locator('.bench-area').focus();
    await page.keyboard.press('Delete');
    await awaitSaved(page);
    expect((await side()).bodyLines).toEqual([]);
  });

  it('takes the depth of a recess, as figures and as a profile, and says what it means for the film', async () => {
    await page.getByRole('button', { name: 'Area, ground' }).click();
    await dragBench(page, [1800, 800], [2300, 1100]);
    await inspector().getByLabel('Depth').selectOption({ label: 'Flat bottom, two flanks' });
    const fill = async (label: string, text: string) => {
      const field = inspector().getByLabel(label, { exact: true }).last();
      await field.fill(text);
      await field.blur();
    };
    await fill('Depth', '80 mm');
    await fill('Width of each flank', '60 mm');
    await inspector()
      .getByText('Surface along its width: 580 mm where the drawing has 500 mm, 16 % longer.')
      .waitFor();
    await awaitSaved(page);
    expect((await side()).ground[0]!.depth).toEqual({
      along: 'width',
      shape: { kind: 'flat-bottom', depthMm: 80, flankMm: 60 },
    });
    await inspector()
      .getByLabel('Depth', { exact: true })
      .first()
      .selectOption({ label: 'Measured profile' });
    await fill('Profile', '0; 0\n30; 40\n470; forty');
    await inspector().getByText('Row 3: “forty” is not a length.').waitFor();
    await fill('Profile', '0; 0\n30; 40\n470; 40\n500; 0');
    await inspector().getByText('540 mm where the drawing has 500 mm, 8 % longer').waitFor();
  });

  it('draws a seam to a body line first', async () => {
    await page.getByRole('button', { name: 'Body line, vertical' }).click();
    await clickBench(page, 1725, 900);
    await dragBench(page, [1330, 400], [1719, 400]);
    expect(await readPlace()).toBe('1725 mm');
  });

  it('chooses the same panel on canvas and table', async () => {
    await clickBench(page, 2300, 700);
    const chosen = page.locator('.panel-table tr.is-chosen .row-button');
    const label = await chosen.textContent();
    await inspector()
      .getByRole('heading', { name: `Panel ${label}` })
      .waitFor();
    const other = (await panelLabels()).find((candidate) => candidate !== label)!;
    await page.getByRole('button', { name: other, exact: true }).click();
    await inspector()
      .getByRole('heading', { name: `Panel ${other}` })
      .waitFor();
  });

  it('goes to the place of a finding and takes an acknowledgement with a note', async () => {
    await clickBench(page, 1330, 900);
    await inspector().getByLabel('Printed overlap').fill('5');
    await inspector().getByLabel('Printed overlap').press('Enter');
    await page.getByRole('tab', { name: /Findings 1 to acknowledge/ }).click();
    const warning = page.locator('.finding.warn');
    await clickBench(page, 500, 500);
    await warning.getByRole('button', { name: 'Go to' }).click();
    await inspector().getByRole('heading', { name: 'Vertical seam' }).waitFor();
    await warning.getByRole('button', { name: 'Acknowledge' }).click();
    await warning.getByLabel('Your name').fill('Ada');
    await warning.getByLabel('Note for the ticket').fill('Flat panel, asked by the customer');
    await warning.getByRole('button', { name: 'Acknowledge' }).click();
    await page.getByText('Note: Flat panel, asked by the customer').waitFor();
    await awaitSaved(page);
    expect((await stored()).acknowledgements).toMatchObject([
      { by: 'Ada', note: 'Flat panel, asked by the customer' },
    ]);
  });

  it('shows everything in inches at a switch', async () => {
    await clickBench(page, 1330, 900);
    await page.locator('.bench-area').focus();
    await page.keyboard.press('Control+u');
    expect(await readPlace()).toBe('52.362\u00a0in');
    expect(await seenText(page, '.panel-table')).toMatch(/52\s3\/8 × 51\s3\/16\sin/);
    await page
      .locator('.ruler-top .ruler-label', { hasText: /^(12|24|60)$/ })
      .first()
      .waitFor();
    await page.keyboard.press('ArrowRight');
    await awaitSaved(page);
    expect((await seams())[0]).toBeCloseTo(1330 + 25.4 / 16, 6);
  });

  it('tells a second window that the job is open, and lets it take over', async () => {
    const second = await shared.station.window();
    await second.getByRole('link', { name: job.number, exact: true }).first().click();
    await second.getByText('Read only').waitFor();
    await second.getByRole('button', { name: 'Edit here instead' }).click();
    await second.getByText('Saved', { exact: true }).waitFor();
    await dragBench(page, [1330, 900], [1602, 900]);
    await page.getByText('Read only', { exact: true }).waitFor();
    expect(await seams()).toEqual([1330]);
  });

  it('checks the artwork against the viewing distance and the limits of the shop', async () => {
    await page.getByRole('tab', { name: 'Side', exact: true }).click();
    // One minute of arc at 3 m: 87.32 ÷ 3 (ISO 8596 defines the acuity).
    await page.getByText('29 ppi at finished size').waitFor();
    const distance = page.getByLabel('Viewing distance');
    await distance.fill('5 m');
    await distance.press('Enter');
    await page.getByText('20 ppi at finished size').waitFor();
    await page.getByText('13.9 mm').waitFor();
    await page.getByRole('tab', { name: 'Job', exact: true }).click();
    const ink = page.getByLabel('Most ink, %');
    await ink.fill('120');
    await ink.press('Enter');
    await page.getByRole('tab', { name: /Findings/ }).click();
    // The ground of the small artwork is 90 + 50 + 20 + 10 % of ink.
    await page.getByText(/170 %/).first().waitFor();
    await page.getByLabel('A finding of “ink heavy”').selectOption('off');
    await page.getByText(/170 %/).first().waitFor({ state: 'detached' });
    await awaitSaved(page);
    expect(await stored()).toMatchObject({
      artworkLimits: { maxInkPercent: 120, severities: { 'ink-heavy': 'off' } },
      sides: [{ viewingDistanceMm: 5000 }],
    });
  });

  it('makes one of several seams a break, and mirrors the side onto the opposite one', async () => {
    const [left] = smallJob().sides;
    const right = {
      ...left!,
      id: 'right',
      code: 'RH',
      name: 'Right side',
      front: 'left' as const,
      layout: { kind: 'panel' as const, id: 'p9' },
    };
    job = await shared.openNewJob({ sides: [left!, right] });
    await page.getByRole('button', { name: 'Seam, vertical' }).click();
    await clickBench(page, 2200, 600);
    await page.keyboard.press('Escape');
    await clickBench(page, 2215, 900);
    await page.keyboard.press('3');
    await inspector().getByRole('tab', { name: 'Side', exact: true }).click();
    await inspector().getByRole('button', { name: 'Mirror' }).click();
    await awaitSaved(page);
    const joints = async (index: number) => {
      const { layout } = (await stored()).sides[index]!;
      return layout.kind === 'split' ? layout.joints.map(({ kind, atMm }) => [kind, atMm]) : [];
    };
    expect(await joints(0)).toEqual([
      ['lap', 1330],
      ['gap', 2215],
    ]);
    expect(await joints(1)).toEqual([
      ['gap', 3100 - 2215],
      ['lap', 3100 - 1330],
    ]);
  });
});

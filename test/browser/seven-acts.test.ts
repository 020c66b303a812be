/**
 * From artwork to verified panels, as a first-time user does it. Everything is done through the driver below, which
 * counts acts: a click, a drop, a key chord or a field that is filled.
 */
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { cmyk, PDFDocument, type PDFFont, StandardFonts } from 'pdf-lib';
import type { Locator, Page } from 'playwright-core';
import { expect, it, vi } from 'vitest';
import type { Job } from '../../core/job/schema.ts';
import { sideOutline } from '../../core/job/side-outline.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { dropFile } from './drop-file.ts';
import { sharedWindow } from './shared-window.ts';
import { archivedJob, awaitSaved } from './workstation.ts';

vi.setConfig({ testTimeout: 240_000 });
/** Planning and writing share the machine with other tests. */
const PATIENCE = { timeout: 120_000 };
const MOST_ACTS = 7;

/** Does what a person does, and counts it. */
class Operator {
  readonly acts: string[] = [];
  readonly #page: Page;

  constructor(page: Page) {
    this.#page = page;
  }

  async click(target: Locator): Promise<void> {
    await target.click(PATIENCE);
    this.acts.push(`click ${target}`);
  }

  async fill(target: Locator, text: string): Promise<void> {
    await target.fill(text);
    this.acts.push(`fill ${target}`);
  }

  async drop(selector: string, name: string, bytes: Uint8Array): Promise<void> {
    await dropFile(this.#page, selector, name, bytes);
    this.acts.push(`drop ${name}`);
  }
}

const MM = 72 / 25.4;

interface PageDrawn {
  /** Of the finished side, as drawn. */
  readonly widthMm: number;
  readonly heightMm: number;
  /** Words below the side, outside of it. */
  readonly slug?: string;
  readonly lettering: string;
}

/** Paper with 20 mm around each side and a ground that fills the side; without page boxes but the paper's own. */
async function drawnArtwork(pages: readonly PageDrawn[], isTrimmed: boolean): Promise<Uint8Array> {
  const document = await PDFDocument.create({ updateMetadata: false });
  const font = await document.embedFont(StandardFonts.HelveticaBold);
  for (const [index, drawn] of pages.entries()) drawPage(document, font, drawn, { index, isTrimmed });
  return await document.save();
}

function drawPage(
  document: PDFDocument,
  font: PDFFont,
  { widthMm, heightMm, slug, lettering }: PageDrawn,
  { index, isTrimmed }: { readonly index: number; readonly isTrimmed: boolean },
): void {
  const paper = 20;
  const page = document.addPage([(widthMm + 2 * paper) * MM, (heightMm + 2 * paper) * MM]);
  const side = { x: paper * MM, y: paper * MM, width: widthMm * MM, height: heightMm * MM };
  if (isTrimmed) page.setTrimBox(side.x, side.y, side.width, side.height);
  page.drawRectangle({ ...side, color: cmyk(0.7, 0.2 + 0.2 * index, 0.1, 0.05) });
  page.drawRectangle({
    x: side.x,
    y: side.y + side.height * 0.12,
    width: side.width,
    height: side.height * 0.07,
    color: cmyk(0, 0.3, 0.9, 0),
  });
  const size = side.height * 0.11;
  page.drawText(lettering, {
    x: side.x + side.width * 0.1,
    y: side.y + side.height * 0.55,
    size,
    font,
    color: cmyk(0, 0, 0, 0.9),
  });
  if (slug) page.drawText(slug, { x: side.x, y: 6 * MM, size: 9, font });
}

describeInBrowser('from artwork to verified panels in seven acts', () => {
  const shared = sharedWindow();

  /** What is said of each roll that the shop has. */
  let rolls: readonly string[] = [];

  /** Drop, yes, take, acknowledge if there is something to acknowledge, write. */
  async function fromDropToPanels(
    name: string,
    bytes: Uint8Array,
    onProposal: () => Promise<void> = async () => undefined,
  ): Promise<{ job: Job; acts: readonly string[] }> {
    const { page } = shared;
    const operator = new Operator(page);
    await shared.showJobs();
    await operator.drop('.jobs', name, bytes);
    // Who waits until the pages are read sees all that speaks for the scale; waiting is no act.
    await page.getByText('The pages are read.').waitFor(PATIENCE);
    await onProposal();
    await operator.click(page.getByRole('button', { name: /^Yes, set up/ }));
    await page.getByText('The layouts are ready.').waitFor(PATIENCE);
    rolls = await page.getByLabel('Roll for all sides').locator('option').allTextContents();
    await operator.click(page.getByRole('button', { name: 'Use them, go to output' }));
    await page.getByRole('heading', { name: 'Output', exact: true }).waitFor();
    const write = page.getByRole('button', { name: 'Select a folder and write' });
    const acknowledge = page.getByRole('button', { name: /^Acknowledge (?:all \d+ warnings|this warning)$/ });
    await write.or(acknowledge).first().waitFor();
    if (await acknowledge.isVisible()) {
      await operator.fill(page.getByLabel('Your name, for the ticket'), 'Ada');
      await operator.click(acknowledge);
    }
    await operator.click(write);
    await page.getByText('Verified: released').waitFor(PATIENCE);
    await awaitSaved(page);
    const job = await archivedJob(shared.station, decodeURIComponent(page.url().split('/').at(-1)!));
    expect(operator.acts.length, operator.acts.join('\n')).toBeLessThanOrEqual(MOST_ACTS);
    const outputs = await shared.station.services.archive.outputs.list(job.id);
    expect(outputs.map(({ verification }) => verification.state)).toEqual(['verified']);
    return { job, acts: operator.acts };
  }

  const sizes = (job: Job): string[] =>
    job.sides.map((side) => {
      const { width, height } = sideOutline(side, job.scale);
      return `${side.page} ${side.front} ${Math.round(width)} × ${Math.round(height)}`;
    });

  it('the demo’s trailer', async () => {
    const bytes = await readFile('assets/demo/outreach-trailer.pdf');
    const { job } = await fromDropToPanels('outreach-trailer.pdf', bytes);
    expect(rolls).toEqual([expect.stringMatching(/ wide: \d+ panels, /), expect.stringContaining(' wide: ')]);
    expect(job.scale).toBe(10);
    expect(sizes(job)).toEqual(['1 left 6000 × 2100', '2 right 6000 × 2100']);
    expect(job.name).toBe('outreach-trailer');
  });

  it('a truck at 1:20 whose pages have boxes, the rear first and the right side before the left', async () => {
    const bytes = await drawnArtwork(
      [
        { widthMm: 120, heightMm: 130, slug: 'Rear', lettering: 'HEDGEROW' },
        {
          widthMm: 365,
          heightMm: 130,
          slug: 'Passenger side · 1:20',
          lettering: 'Hedgerow Bakery 555-0117',
        },
        { widthMm: 365, heightMm: 130, slug: 'Driver side', lettering: 'Hedgerow Bakery 555-0117' },
      ],
      true,
    );
    const { job } = await fromDropToPanels('hedgerow_bakery.pdf', bytes);
    expect(job.scale).toBe(20);
    expect(sizes(job)).toEqual(['1 none 2400 × 2600', '2 right 7300 × 2600', '3 left 7300 × 2600']);
    expect(job.name).toBe('hedgerow bakery');
  });

  it('a van at 1:10 on plain paper, with its size in words and two phone numbers', async () => {
    const { page } = shared;
    const bytes = await drawnArtwork(
      [
        { widthMm: 412, heightMm: 148, slug: '4,120 x 1,480 mm', lettering: 'Call 555-0133' },
        { widthMm: 412, heightMm: 148, lettering: 'Call 555-0138' },
      ],
      false,
    );
    const { job } = await fromDropToPanels('van.pdf', bytes, async () => {
      await page.getByText(/The phone number differs: .*555-0133.* on the .+ side, .*555-0138/).waitFor();
    });
    expect(job.scale).toBe(10);
    expect(sizes(job)).toEqual(['1 left 4120 × 1480', '2 right 4120 × 1480']);
  });

  /** Presses Tab until the focus is on the element of this name, as a person does who watches the screen. */
  async function tabTo(name: RegExp): Promise<void> {
    const { page } = shared;
    const seen: string[] = [];
    for (let presses = 0; presses < 120; presses++) {
      await page.keyboard.press('Tab');
      const focused = await page.evaluate<string>(
        "(document.activeElement?.labels?.[0] ?? document.activeElement)?.textContent ?? ''",
      );
      if (name.test(focused)) return;
      seen.push(focused.slice(0, 40));
    }
    throw new Error(`The keyboard does not reach ${name}, but:\n${seen.join('\n')}`);
  }

  it('and by the keyboard alone, from artwork to panels', async () => {
    const { page } = shared;
    const path = join(shared.station.folder, 'by keyboard.pdf');
    const pages = [{ widthMm: 385, heightMm: 152, slug: '1:10', lettering: 'Juniper Florists' }];
    await writeFile(path, await drawnArtwork(pages, true));
    await shared.showJobs();
    // Asked for early: the browser hands choosers over only a moment later.
    const choosing = page.waitForEvent('filechooser', PATIENCE);
    await page.keyboard.press('Control+o');
    await expect.poll(() => page.locator('input[type=search]:focus').count()).toBe(1);
    await tabTo(/^Begin with artwork$/);
    await page.keyboard.press('Enter');
    await (await choosing).setFiles(path);
    await page.getByText('The pages are read.').waitFor(PATIENCE);
    await tabTo(/^Yes, set up 1 side$/);
    await page.keyboard.press('Enter');
    await page.getByText('The layouts are ready.').waitFor(PATIENCE);
    await tabTo(/^Use them, stay on the bench$/);
    await page.keyboard.press('Enter');
    await page.locator('.panel').first().waitFor({ state: 'attached' });

    // One more cut, by V and Enter; the new seam is selected then, and moves by ten steps.
    const panels = page.locator('.panel-table tbody tr');
    const before = await panels.count();
    await page.keyboard.press('F6');
    await page.keyboard.press('PageDown');
    await page.keyboard.press('v');
    await page.keyboard.press('Enter');
    await expect.poll(() => panels.count()).toBe(before + 1);
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+z');
    await expect.poll(() => panels.count()).toBe(before);
    await page.keyboard.press('Enter');
    await page.locator('.panel-table tr.is-chosen').waitFor();
    await page.keyboard.press('w');
    await page.getByRole('dialog', { name: /as it prints$/ }).waitFor();
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });

    await page.keyboard.press('Control+4');
    await page.getByRole('heading', { name: 'Output', exact: true }).waitFor();
    const write = page.getByRole('button', { name: 'Select a folder and write' });
    const acknowledge = page.locator('.acknowledge-all');
    await write.or(acknowledge).first().waitFor();
    if (await acknowledge.isVisible()) {
      await tabTo(/^Your name/);
      await page.keyboard.type('Ada');
      await page.keyboard.press('Enter');
      await write.waitFor();
    }
    await tabTo(/^Select a folder and write$/);
    await page.keyboard.press('Enter');
    await page.getByText('Verified: released').waitFor(PATIENCE);
  });
});

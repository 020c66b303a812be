import { readdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { runTool } from '../support/tools.ts';
import { whitePlateArtwork } from '../support/white-plate-artwork.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { awaitSaved, axeViolations, openJobOn, startWorkstation, type Workstation } from './workstation.ts';

describeInBrowser('clear film that is looked through', () => {
  let station: Workstation;

  beforeEach(async () => {
    station = await startWorkstation();
  });
  afterEach(async () => await station.close());

  it('asks for a white plate until one is named, and mirrors panels in their files, verified', async () => {
    const path = join(station.folder, 'white.pdf');
    await writeFile(path, await whitePlateArtwork());
    const { sha256, sizeBytes } = await station.services.archive.vault.add(path);
    await station.smallJobAdded({ artwork: { fileName: 'white.pdf', sha256, sizeBytes, box: 'trim' } });
    const page = await station.window({ bypassCSP: true });
    await openJobOn(page, 'SJ-7');
    await page.getByRole('tab', { name: /^Job$/ }).click();
    await page.getByLabel('The film is', { exact: true }).selectOption('clear');
    await page.getByRole('tab', { name: /^Findings/ }).click();
    const missing = page.getByText('is clear, and no spot ink is selected as its white plate');
    await missing.first().waitFor();
    await page.getByLabel('White plate', { exact: true }).selectOption('White');
    await missing.first().waitFor({ state: 'detached' });
    await page.getByLabel('Mirrored print', { exact: true }).selectOption('file');
    await awaitSaved(page);
    expect(await axeViolations(page)).toEqual([]);

    await page.getByRole('link', { name: 'Output' }).click();
    await page.getByLabel('Install map', { exact: true }).uncheck();
    await page.getByRole('button', { name: 'Select a folder and write' }).click();
    await page.getByText('Verified: released').waitFor({ timeout: 60_000 });
    const files = await readdir(station.outputFolder, { recursive: true });
    const text = (name: string) =>
      runTool('pdftotext', ['-raw', join(station.outputFolder, name), '-']).toString('utf8');
    const ticket = text(files.find((name) => /output-1.*_ticket\.pdf$/.test(name))!);
    expect(ticket.split('DO NOT MIRROR in the RIP').length).toBe(2);
    expect(ticket).toContain('spot ink White prints as white');
    expect(ticket).toContain('cast, clear');
    // Texts of the border read on the face that is printed.
    const panel = files.find((name) => /output-1.*_LH-01\.pdf$/.test(name))!;
    expect(text(panel)).toContain('MIRRORED');
    const picture = runTool('pdftoppm', ['-r', '3', '-gray', join(station.outputFolder, panel)]);
    const { at, width, height } = grays(picture);
    const row = Math.round(height * 0.66);
    expect(at(width * 0.7, row)).toBeLessThan(60);
    expect(at(width * 0.3, row)).toBeGreaterThan(150);
  }, 180_000);
}, ['pdftotext', 'pdftoppm']);

/** A picture in the portable graymap format: `P5 width height 255` and a byte for each pixel. */
function grays(bytes: Uint8Array) {
  const head = /^P5\s(\d+)\s(\d+)\s255\s/.exec(Buffer.from(bytes.subarray(0, 40)).toString('latin1'))!;
  const [width, height] = [Number(head[1]), Number(head[2])];
  const at = (x: number, y: number) => bytes[head[0].length + y * width + Math.round(x)]!;
  return { at, width, height };
}

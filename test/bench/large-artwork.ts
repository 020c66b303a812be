/**
 * How long a person waits for the first picture of an artwork of 150 MB, what it costs the host, and how much script a frame
 * costs while it is panned: `npm run bench large-artwork`.
 *
 * The artwork is that of the benchmark of the cut: a picture of 16,000 × 2,700 CMYK pixels packed by Flate under
 * 5,000 vector marks. It is brought in on the bench as a person would, then opened again by a host that has only
 * just started. A picture has come once it stands beside the question of what the pages show, or once the middle of the canvas
 * shows a color: what stands there before is gray; it is sharp once the bench waits for none. CPU is that of the host and its threads, without
 * the browser.
 */
import { statSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import {
  awaitSaved,
  closeShared,
  passFrames,
  startWorkstation,
  type Workstation,
} from '../browser/workstation.ts';
import { ART_144_MB, flateArt } from './cut/art.ts';
import { treeCpuSeconds } from './memory/process-tree.ts';
import { frameWords, traceFrames } from './screens/frames.ts';

const MOVES = 150;
/** On a busy machine. */
const LONGEST_WAIT_MS = 120_000;
/** At 1:10 the page is 16.2 m wide: near enough to see single marks, so that sharp tiles must come while it moves. */
const ZOOM_STEPS = 8;

export async function run(): Promise<void> {
  let station = await startWorkstation();
  try {
    const art = join(station.folder, 'trailer left.pdf');
    flateArt(art, ART_144_MB);
    const megabytes = Math.round(statSync(art).size / 1e6);
    const brought = await importArt(await emptyJob(station), art);
    station = await station.restarted();
    const page = await station.window({ viewport: { width: 1920, height: 1080 } });
    const before = hostCpuSeconds();
    await page.getByRole('link', { name: 'LA-150' }).click();
    const openedSeconds = await secondsToPicture(page);
    await page.locator('.bench-status', { hasNotText: 'Drawing' }).waitFor({ timeout: LONGEST_WAIT_MS });
    const sharpCpuSeconds = hostCpuSince(before);
    const pan = await panPicture(page);
    console.log(
      `Artwork of ${megabytes} MB: seen ${brought.seenSeconds} s after it was selected, ${brought.cpuSeconds} s of CPU`,
    );
    console.log(
      `Its job opened in a program just started: seen after ${openedSeconds} s, sharp for ${sharpCpuSeconds} s of CPU`,
    );
    console.log(`Panning it while sharp tiles come: ${frameWords(pan)}`);
    console.log(JSON.stringify({ megabytes, brought, openedSeconds, sharpCpuSeconds, pan }));
  } finally {
    await station.close();
    await closeShared();
  }
}

async function emptyJob(station: Workstation): Promise<Page> {
  const page = await station.window({ viewport: { width: 1920, height: 1080 } });
  await page.getByRole('button', { name: 'New job' }).click();
  await page.getByLabel('Job number').fill('LA-150');
  await page.getByLabel('Job', { exact: true }).fill('Large artwork');
  await page.getByLabel('Customer', { exact: true }).fill('Alder County Library');
  await page.getByRole('button', { name: 'Create' }).click();
  await page.getByRole('heading', { name: 'Bring in the artwork' }).waitFor();
  return page;
}

interface Brought {
  readonly seenSeconds: number;
  readonly cpuSeconds: number;
}

async function importArt(page: Page, art: string): Promise<Brought> {
  const selecting = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'Import artwork' }).first().click();
  const started = performance.now();
  const before = hostCpuSeconds();
  await (await selecting).setFiles(art);
  await page.locator('img.start-picture').waitFor({ timeout: LONGEST_WAIT_MS });
  const seenSeconds = Math.round(performance.now() - started) / 1000;
  const cpuSeconds = hostCpuSince(before);
  await page.getByRole('button', { name: /^Yes, set up/ }).click();
  await awaitSaved(page);
  return { seenSeconds, cpuSeconds };
}

async function secondsToPicture(page: Page): Promise<number> {
  return await page.evaluate<number>(`(async () => {
    const start = performance.now();
    const isSeen = () => {
      const canvas = document.querySelector('.bench-area canvas');
      if (!canvas || canvas.width === 0) return false;
      const [red, green, blue] = canvas.getContext('2d').getImageData(canvas.width >> 1, canvas.height >> 1, 1, 1).data;
      return red !== green || green !== blue;
    };
    while (!isSeen()) await new Promise(requestAnimationFrame);
    return Math.round(performance.now() - start) / 1000;
  })()`);
}

const hostCpuSeconds = (): number => treeCpuSeconds(process.pid, (command) => command.includes('chrom'));

const hostCpuSince = (before: number): number => Math.round(100 * (hostCpuSeconds() - before)) / 100;

async function panPicture(page: Page) {
  const area = (await page.locator('.bench-area').boundingBox())!;
  await page.mouse.move(area.x + area.width / 2, area.y + area.height / 2);
  for (let n = 0; n < ZOOM_STEPS; n++) await page.mouse.wheel(0, -100);
  await passFrames(page);
  return await traceFrames(page, async () => {
    for (let n = 0; n < MOVES; n++) {
      await page.keyboard.down('Shift');
      await page.mouse.wheel(0, n < MOVES / 2 ? 60 : -60);
      await page.keyboard.up('Shift');
      await passFrames(page);
    }
  });
}

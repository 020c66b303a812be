/**
 * Takes the pictures of the README from the real program with the demo job, and writes them to assets/pictures:
 *
 *     npm run pictures
 */
import { mkdir } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import type { Page } from 'playwright-core';
import { closeShared, passFrames, startWorkstation } from './workstation.ts';

const FOLDER = resolve(import.meta.dirname, '../../assets/pictures');
/** Not until the network is idle: the page keeps a request open for news of other seats. */
const ARE_PICTURES_DRAWN =
  '[...document.images].every((picture) => picture.complete && picture.naturalWidth > 0)';
/** Sheets and artwork are drawn first, which a busy machine takes its time for. */
const PATIENCE = { timeout: 180_000 };

await mkdir(FOLDER, { recursive: true });
const station = await startWorkstation();
try {
  const context = { clientId: 'setup', signal: new AbortController().signal, report: () => undefined };
  const demo = await station.services.handlers['job:demo']({}, context);
  if (!demo.ok) throw new Error(demo.problem.message);
  station.services.releaseClient('setup');
  const page = await station.window({
    viewport: { width: 1280, height: 800 },
    locale: 'en-US',
    colorScheme: 'light',
  });

  await page.evaluate(`location.hash = '#/bench/${demo.value.id}'`);
  await page.getByRole('tab', { name: 'Side', exact: true }).waitFor(PATIENCE);
  await page.getByText('Driver side').first().click();
  await page.getByRole('tab', { name: 'Side', exact: true }).click();
  await page.locator('.panel-table td', { hasText: 'DS-04' }).first().click();
  // It is said once the pages are read and drawn.
  await page.getByText('Not as it prints').first().waitFor(PATIENCE);
  await settled(page);
  await keep(page, 'bench');

  await page.locator('.bench-area').focus();
  await page.keyboard.press('w');
  await page.getByRole('dialog', { name: 'DS-04 as it prints' }).waitFor(PATIENCE);
  await settled(page);
  await keep(page, 'panel');
  await page.keyboard.press('Escape');

  await page.evaluate(`location.hash = '#/sheets/${demo.value.id}'`);
  await page.locator('img.sheet-picture').first().waitFor(PATIENCE);
  await settled(page);
  await keep(page, 'install-map');
} finally {
  await station.close();
  await closeShared();
}

/** Nothing is on its way, and the artwork is drawn as sharp as it gets. */
async function settled(page: Page): Promise<void> {
  await page.locator('[aria-busy=true]').waitFor({ state: 'detached', ...PATIENCE });
  await page.getByText(/^Drawing/).waitFor({ state: 'detached', ...PATIENCE });
  await page.waitForFunction(ARE_PICTURES_DRAWN, undefined, PATIENCE);
  await passFrames(page);
}

async function keep(page: Page, name: string): Promise<void> {
  await page.mouse.move(0, 0);
  await page.screenshot({ path: join(FOLDER, `${name}.jpg`), type: 'jpeg', quality: 80 });
}

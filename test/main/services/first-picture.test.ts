import { mkdtempSync, rmSync, statSync, truncateSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Services } from '../../../main/services/services.ts';
import { GRAY, writeLargeFile } from '../../support/large-pdf.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;
const at = (...names: string[]) => join(folder, ...names);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-first-picture-'));
  services = await testServices(at('archive'));
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

it('a large artwork that was brought in is not read again for the sharp pictures of its page', async () => {
  writeLargeFile(at('art.pdf'), 30e6, GRAY);
  const client = new ServiceClient(services);
  const { reference, pages } = await client.reply('artwork:import', {
    file: client.chosenFile(at('art.pdf')),
    box: 'crop',
  });
  const { number: page, extent } = pages[0]!;
  const coarse = await client.reply('artwork:picture', { reference, page, window: extent, widthPx: 1024 });
  expect(coarse.widthPx).toBe(1024);
  // Nothing could be read of it any more.
  const kept = await services.archive.vault.path(reference.sha256);
  expect(statSync(kept).size).toBe(reference.sizeBytes);
  truncateSync(kept, 100);
  const window = { ...extent, widthMm: extent.widthMm / 2, heightMm: extent.heightMm / 2 };
  expect(await client.reply('artwork:picture', { reference, page, window, widthPx: 1000 })).toMatchObject({
    widthPx: 1000,
  });
});

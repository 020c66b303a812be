import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { ServiceClient } from '../../support/service-client.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-watching-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

describe('a folder that a program with screens watches', () => {
  test('WF4: is switched on and off, says what came of each file, and is watched again after a restart', async () => {
    const incoming = join(folder, 'in');
    const services = await testServices(join(folder, 'archive'));
    const client = new ServiceClient(services);
    expect(await client.reply('watch:state', {})).toEqual({ folder: null, sentences: [] });
    const on = await client.reply('watch:set', { folder: client.chosenFolder(incoming) });
    expect(on.folder).toBe(incoming);
    await expect.poll(() => existsSync(incoming)).toBe(true);
    writeFileSync(join(incoming, 'broken.pdf'), 'no PDF\n%%EOF');
    await expect
      .poll(async () => (await client.reply('watch:state', {})).sentences, { timeout: 20_000, interval: 200 })
      .toEqual([expect.stringContaining('broken.pdf: was refused')]);
    await services.close();

    const again = await testServices(join(folder, 'archive'));
    const other = new ServiceClient(again);
    await expect.poll(async () => (await other.reply('watch:state', {})).folder).toBe(incoming);
    expect((await other.reply('watch:set', { folder: null })).folder).toBe(null);
    await again.close();
    expect(existsSync(join(folder, 'archive', 'watch.json'))).toBe(false);
  });
});

import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { FolderWatching } from '../../../main/services/folder-watching.ts';
import { tasksInPlace } from '../../../main/tasks/tasks-in-place.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { testArchive } from '../../support/test-archive.ts';
import { TEST_NOW, testServices } from '../../support/test-services.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-watching-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

describe('a folder that a program with screens watches', () => {
  test('is switched on and off, says what came of each file, and is watched again after a restart', async () => {
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

  test('is each machine’s own where several share an archive', async () => {
    const archive = await testArchive(join(folder, 'archive'));
    const parts = { archive, work: tasksInPlace, planning: tasksInPlace, now: () => TEST_NOW };
    const desk = new FolderWatching(parts, [], 'desk-1');
    await desk.set(join(folder, 'in'));
    const other = new FolderWatching(parts, [], 'desk-2');
    await other.resume();
    expect(other.state.folder).toBe(null);
    await desk.close();
    const again = new FolderWatching(parts, [], 'desk-1');
    await again.resume();
    expect(again.state.folder).toBe(join(folder, 'in'));
    await again.close();
    await archive.close();
  });
});

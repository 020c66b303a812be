import { appendFile, mkdir, mkdtemp, rename, rm, truncate, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { ENDLESS_MS, folderLook, QUIET_MS, settledFiles } from '../../../main/files/settled-files.ts';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'settled-'));
});
afterEach(async () => await rm(folder, { recursive: true, force: true }));

const isWanted = (name: string) => name.endsWith('.pdf');
const PDF = '%PDF-1.7\n1 0 obj\n<<>>\nendobj\n%%EOF\n';

describe('settled files', () => {
  test('a file is given once, when it has not changed for a while', async () => {
    const look = folderLook({ folder, isWanted });
    await writeFile(join(folder, 'van.pdf'), PDF);
    expect(await look(1_000)).toEqual([]);
    expect(await look(1_000 + QUIET_MS - 1)).toEqual([]);
    expect((await look(1_000 + QUIET_MS)).map(({ name }) => name)).toEqual(['van.pdf']);
    expect(await look(900_000)).toEqual([]);
  });

  test('one that grows waits, and so does one that is as large as it will be but has no end yet', async () => {
    const look = folderLook({ folder, isWanted });
    const path = join(folder, 'van.pdf');
    await writeFile(path, PDF.slice(0, 12));
    await look(0);
    await appendFile(path, PDF.slice(12, 20));
    expect(await look(QUIET_MS)).toEqual([]);
    // Some systems give a copy its whole length first.
    await truncate(path, PDF.length);
    await look(3 * QUIET_MS);
    expect(await look(5 * QUIET_MS)).toEqual([]);
    await writeFile(path, PDF);
    await look(6 * QUIET_MS);
    expect((await look(7 * QUIET_MS)).map(({ sizeBytes }) => sizeBytes)).toEqual([PDF.length]);
  });

  test('a PDF that never gets its end is given after a minute, for its reader to say what is wrong', async () => {
    const look = folderLook({ folder, isWanted });
    await writeFile(join(folder, 'cut-off.pdf'), PDF.slice(0, 20));
    await look(0);
    expect(await look(ENDLESS_MS - 1)).toEqual([]);
    expect(await look(ENDLESS_MS)).toHaveLength(1);
  });

  test('one that is replaced is given again', async () => {
    const look = folderLook({ folder, isWanted });
    await writeFile(join(folder, 'van.pdf'), PDF);
    await look(0);
    expect(await look(QUIET_MS)).toHaveLength(1);
    await writeFile(join(folder, 'van.pdf'), `%PDF-1.4\n${PDF}`);
    await look(2 * QUIET_MS);
    expect(await look(3 * QUIET_MS)).toHaveLength(1);
  });

  test('folders in it are looked into, hidden ones and folders in them are not, and a lost folder may come back', async () => {
    await mkdir(join(folder, 'Panel van', 'deeper'), { recursive: true });
    await mkdir(join(folder, '.hidden'));
    for (const name of ['b.pdf', 'Panel van/a.pdf', 'Panel van/deeper/c.pdf', '.hidden/d.pdf', 'e.txt']) {
      await writeFile(join(folder, name), PDF);
    }
    const look = folderLook({ folder, isWanted });
    await look(0);
    await rename(folder, `${folder}-away`);
    expect(await look(QUIET_MS)).toEqual([]);
    await rename(`${folder}-away`, folder);
    await look(2 * QUIET_MS);
    expect((await look(3 * QUIET_MS)).map(({ name }) => name)).toEqual(['b.pdf', 'Panel van/a.pdf']);
  });

  test('the watch ends when it is called off', async () => {
    const ending = new AbortController();
    const watching = (async () => {
      for await (const _ of settledFiles({ folder, isWanted, signal: ending.signal })) break;
      return 'ended';
    })();
    ending.abort();
    expect(await watching).toBe('ended');
  });
});

/** What an archive is opened as: a new one, the one that is there, or one to be left alone. */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openArchive, setArchiveAside } from '../../../main/archive/archive.ts';
import { databasePath } from '../../../main/archive/database.ts';
import { networkShareOf } from '../../../main/archive/network-share.ts';
import { resultValue } from '../../support/panel-check.ts';
import { smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

let home: string;
const folder = () => join(home, 'archive');
const at = (...names: string[]) => join(home, ...names);

beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'panelwright-opening-'));
});
afterEach(() => rmSync(home, { recursive: true }));

/** An archive with one job and its artwork. */
async function fillArchive(): Promise<void> {
  writeFileSync(at('art.pdf'), '%PDF-1.7 artwork', { mode: 0o444 });
  const archive = await testArchive(folder());
  const kept = await archive.vault.add(at('art.pdf'));
  const artwork = { ...kept, fileName: 'art.pdf', box: 'crop' as const };
  const save = { panelLabels: [], baseRevision: 0, now: '2026-03-09T10:11:12Z' };
  resultValue(await archive.jobs.save(smallJob({ artwork }), save));
  await archive.close();
}

describe('a vault with files', () => {
  const losses: [string, () => void][] = [
    ['is missing', () => rmSync(databasePath(folder()))],
    ['is an empty file', () => writeFileSync(databasePath(folder()), '')],
    [
      'is a database of nothing',
      () => {
        rmSync(databasePath(folder()));
        const db = new Database(databasePath(folder()));
        db.pragma('journal_mode = WAL');
        db.close();
      },
    ],
  ];

  it.each(losses)('whose database %s is an alarm and no new shop', async (_what, lose) => {
    await fillArchive();
    lose();
    const before = readdirSync(folder()).map((name) => [name, statSync(join(folder(), name)).size]);
    expect(await openArchive(folder())).toMatchObject({ ok: false, problem: { code: 'archive-lost' } });
    expect(readdirSync(folder()).map((name) => [name, statSync(join(folder(), name)).size])).toEqual(before);
    resultValue(await setArchiveAside(folder(), '2026-03-10T08:00:00Z'));
    const archive = await testArchive(folder());
    expect(await archive.jobs.list()).toEqual([]);
    expect((await archive.deletions.unusedFiles(Date.now() + 2 * 3_600_000)).files).toBe(1);
    await archive.close();
  });

  it('that is missing is no reason to refuse the database, nor is an empty one', async () => {
    await (await testArchive(folder())).close();
    mkdirSync(join(folder(), 'vault', 'ab'), { recursive: true });
    const archive = await testArchive(folder());
    expect(archive.isReadOnly).toBe(false);
    await archive.close();
  });
});

describe('what the archive keeps', () => {
  it('is its user’s alone, whatever the source and the umask allow', async () => {
    const umask = process.umask(0o002);
    try {
      await fillArchive();
      const archive = await testArchive(folder());
      const tools = { signal: new AbortController().signal, report: () => undefined };
      resultValue(await archive.checks.backUp(at('backup'), tools));
      for (const root of [folder(), at('backup')]) {
        const found = [
          root,
          ...readdirSync(root, { recursive: true, encoding: 'utf8' }).map((name) => join(root, name)),
        ];
        expect(found.length).toBeGreaterThan(4);
        for (const path of found) {
          const stats = statSync(path);
          expect((stats.mode & 0o777).toString(8), path).toBe(stats.isDirectory() ? '700' : '600');
        }
      }
      await archive.close();
    } finally {
      process.umask(umask);
    }
  });
});

describe('a network share', () => {
  const MOUNTS = [
    '/dev/sda1 / ext4 rw 0 0',
    'shop:/jobs /mnt/the\\040jobs nfs4 rw 0 0',
    '//shop/art /mnt/art cifs rw 0 0',
    '/dev/sdb1 /mnt/art/local ext4 rw 0 0',
  ].join('\n');
  const MAC_MOUNTS = [
    '/dev/disk3s1s1 on / (apfs, sealed, local, read-only, journaled)',
    '//anna@shop/jobs on /Volumes/the jobs (smbfs, nodev, nosuid, mounted by anna)',
  ].join('\n');
  const share = (platform: NodeJS.Platform, mounts: string, place: string) =>
    networkShareOf(place, { platform, mounts: () => mounts });

  it('is told from a disk of this machine', () => {
    expect(share('linux', MOUNTS, '/mnt/the jobs/archive')).toBe('nfs4');
    expect(share('linux', MOUNTS, '/mnt/art')).toBe('cifs');
    expect(share('linux', MOUNTS, '/mnt/art/local/archive')).toBeUndefined();
    expect(share('linux', MOUNTS, '/mnt/artwork')).toBeUndefined();
    expect(share('darwin', MAC_MOUNTS, '/Volumes/the jobs/archive')).toBe('smbfs');
    expect(share('darwin', MAC_MOUNTS, '/Users/anna/archive')).toBeUndefined();
    expect(share('linux', '', '/home')).toBeUndefined();
  });

  it('takes no archive, and nothing is made there', async () => {
    const disks = { platform: 'linux' as const, mounts: () => `shop:/jobs ${home} nfs rw 0 0` };
    const refused = await openArchive(folder(), { disks });
    expect(refused).toMatchObject({ ok: false, problem: { code: 'archive-on-network' } });
    expect(existsSync(folder())).toBe(false);
  });
});

describe('a job file', () => {
  it('does not take the place of what a window has saved, unless that is said', async () => {
    const archive = await testArchive(folder());
    const [now, panelLabels] = ['2026-03-09T10:11:12Z', [] as string[]];
    const fromFile = (notes: string, how: 'keep' | 'replace' = 'keep') =>
      archive.jobs.save(smallJob({ notes }), { panelLabels, now, fromFile: how });
    resultValue(await fromFile('first'));
    resultValue(await fromFile('second'));
    const window = { panelLabels, now, baseRevision: 2 };
    resultValue(await archive.jobs.save(smallJob({ notes: 'in the window' }), window));
    const refused = { ok: false, problem: { code: 'job-saved-in-window' } };
    expect(await fromFile('third')).toMatchObject(refused);
    expect(await archive.jobs.tryFile(smallJob({ notes: 'third' }))).toMatchObject(refused);
    expect((await archive.jobs.tryFile(smallJob({ notes: 'in the window' }))).ok).toBe(true);
    expect((await archive.jobs.list())[0]!.revision).toBe(3);
    resultValue(await fromFile('third', 'replace'));
    resultValue(await fromFile('fourth'));
    await archive.close();
  });
});

/** What an archive is opened as: a new one, the one that is there, or one to be left alone. */
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  realpathSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
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
  const losses: [string, () => void | Promise<void>][] = [
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
    [
      'is that of another, new archive',
      async () => {
        await (await testArchive(at('other'))).close();
        copyFileSync(databasePath(at('other')), databasePath(folder()));
      },
    ],
  ];

  it.each(losses)('whose database %s is an alarm and no new shop', async (_what, lose) => {
    await fillArchive();
    await lose();
    const before = readdirSync(folder()).map((name) => [name, statSync(join(folder(), name)).size]);
    expect(await openArchive(folder())).toMatchObject({ ok: false, problem: { code: 'archive-lost' } });
    expect(readdirSync(folder()).map((name) => [name, statSync(join(folder(), name)).size])).toEqual(before);
    resultValue(await setArchiveAside(folder(), '2026-03-10T08:00:00Z'));
    const archive = await testArchive(folder());
    expect(await archive.jobs.list()).toEqual([]);
    expect((await archive.deletions.unusedFiles(Date.now() + 2 * 3_600_000)).files).toBe(1);
    await archive.close();
  });

  it('of whose database every job was deleted, or none was saved yet, is no alarm', async () => {
    await fillArchive();
    const archive = await testArchive(folder());
    const [job] = await archive.jobs.list();
    resultValue(await archive.deletions.deleteJobs([job!.id], Date.parse('2026-03-09T10:11:12Z')));
    await archive.close();
    const imported = await testArchive(at('imported'));
    await imported.vault.add(at('art.pdf'));
    await imported.close();
    for (const place of [folder(), at('imported')]) {
      expect(readdirSync(join(place, 'vault')).length).toBeGreaterThan(0);
      await (await testArchive(place)).close();
    }
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
  const LOCAL = '/dev/sda1 / ext4 rw 0 0';
  const MAC_MOUNTS = [
    '/dev/disk3s1s1 on / (apfs, sealed, local, read-only, journaled)',
    '//anna@shop/jobs on /Volumes/the jobs (smbfs, nodev, nosuid, mounted by anna)',
    'shop:/art on /Volumes/art (acmefs, nodev)',
  ].join('\n');
  const linux = (type: number | undefined, mounts = LOCAL) =>
    networkShareOf(folder(), { platform: 'linux', mounts: () => mounts, type: () => type });
  const mac = (place: string) =>
    networkShareOf(place, { platform: 'darwin', mounts: () => MAC_MOUNTS, type: () => undefined });

  // The numbers and names of statfs(2), from its manual page of Linux.
  const REMOTE: [string, number][] = [
    ['NFS_SUPER_MAGIC', 0x6969],
    ['SMB_SUPER_MAGIC', 0x517b],
    ['SMB2_MAGIC_NUMBER', 0xfe534d42],
    ['CIFS_MAGIC_NUMBER', 0xff534d42],
    ['V9FS_MAGIC', 0x01021997],
    ['CODA_SUPER_MAGIC', 0x73757245],
    ['NCP_SUPER_MAGIC', 0x564c],
    ['AFS_SUPER_MAGIC', 0x5346414f],
    ['OCFS2_SUPER_MAGIC', 0x7461636f],
    ['VXFS_SUPER_MAGIC', 0xa501fcf5],
    ['FUSE_SUPER_MAGIC', 0x65735546],
  ];
  const OF_THIS_MACHINE: [string, number | undefined][] = [
    ['EXT4_SUPER_MAGIC', 0xef53],
    ['BTRFS_SUPER_MAGIC', 0x9123683e],
    ['XFS_SUPER_MAGIC', 0x58465342],
    ['OVERLAYFS_SUPER_MAGIC', 0x794c7630],
    ['TMPFS_MAGIC', 0x01021994],
    ['none', undefined],
  ];

  it.each(REMOTE)('is told by its number: %s', (_name, type) => expect(linux(type)).toBeDefined());
  it.each(OF_THIS_MACHINE)('is not a disk of this machine: %s', (_name, type) =>
    expect(linux(type)).toBeUndefined(),
  );

  it('is whatever a program makes, unless it is known to stand on a disk of this machine', () => {
    const mounted = (type: string) => linux(0x65735546, `${LOCAL}\nx ${realpathSync(home)} ${type} rw 0 0`);
    for (const type of ['fuse.sshfs', 'fuse.acme-cloud', 'fuse', 'virtiofs'])
      expect(mounted(type)).toBe(type);
    for (const type of ['fuseblk', 'fuse.gocryptfs']) expect(mounted(type)).toBeUndefined();
  });

  it('on a Mac is what the system does not call local', () => {
    expect(mac('/Volumes/the jobs/archive')).toBe('smbfs');
    expect(mac('/Volumes/art')).toBe('acmefs');
    expect(mac('/Users/anna/archive')).toBeUndefined();
    expect(mac('/Volumes/artwork')).toBeUndefined();
  });

  it('takes no archive, and nothing is made there', async () => {
    const disks = { platform: 'linux' as const, mounts: () => LOCAL, type: () => 0x01021997 };
    const refused = await openArchive(folder(), { disks });
    expect(refused).toMatchObject({
      ok: false,
      problem: { code: 'archive-on-network', message: expect.stringContaining('(9p)') },
    });
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

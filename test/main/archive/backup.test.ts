/** A copy that is made while the archive is in use. */
import { spawnSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Progress } from '../../../core/contract/parts.ts';
import type { Job } from '../../../core/job/schema.ts';
import type { Archive } from '../../../main/archive/port.ts';
import { isPartial, partialPath } from '../../../main/files/atomic-write.ts';
import { smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

let folder: string;
let archive: Archive;
const at = (...names: string[]) => join(folder, ...names);
const tools = { signal: new AbortController().signal, report: () => undefined };

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-backup-'));
  archive = await testArchive(at('archive'));
});
afterEach(async () => {
  await archive.close();
  rmSync(folder, { recursive: true });
});

/** A job with an artwork of its own. */
async function keepJob(n: number): Promise<string> {
  writeFileSync(at('art.pdf'), `%PDF-1.7 artwork ${n}`);
  const kept = await archive.vault.add(at('art.pdf'));
  const artwork = { ...kept, fileName: 'art.pdf', box: 'crop' as const };
  const job: Job = smallJob({ id: `job-${n}`, number: `SJ-${n}`, artwork });
  await archive.jobs.save(job, { panelLabels: [], baseRevision: 0, now: '2026-03-09T10:11:12Z' });
  return kept.sha256;
}

const numbersIn = async (from: Archive) => (await from.jobs.list()).map(({ number }) => number);

describe('a backup', () => {
  it('taken while jobs are being saved is whole, and restores by taking the old place', async () => {
    for (let n = 1; n <= 30; n++) await keepJob(n);
    const copying = archive.checks.backUp(at('backups', 'march'), tools);
    for (let n = 31; n <= 60; n++) await keepJob(n);
    const copied = await copying;
    if (!copied.ok) throw new Error(copied.problem.message);
    await archive.close();
    rmSync(at('archive'), { recursive: true });
    renameSync(at('backups', 'march'), at('archive'));
    archive = await testArchive(at('archive'));
    const report = await archive.checks.checkAll(tools);
    expect(report).toMatchObject({ jobs: copied.value.jobs, databaseTrouble: [], absent: [], damaged: [] });
    expect(report.files).toBe(copied.value.files);
    expect(await numbersIn(archive)).toEqual(expect.arrayContaining(['SJ-1', 'SJ-30']));
    expect(readdirSync(at('backups'))).toEqual([]);
  });

  it('that was killed leaves nothing, once the archive is opened again', async () => {
    await keepJob(1);
    const dead = (path: string) =>
      path.replace(`-${process.pid}-`, `-${spawnSync(process.execPath, ['-e', '']).pid}-`);
    const partial = dead(partialPath(at('elsewhere', 'march')));
    const note = dead(partialPath(at('archive', 'backup')));
    mkdirSync(join(partial, 'vault'), { recursive: true });
    writeFileSync(join(partial, 'archive.sqlite'), 'half');
    writeFileSync(note, partial);
    await archive.close();
    archive = await testArchive(at('archive'));
    expect(readdirSync(at('elsewhere'))).toEqual([]);
    expect(readdirSync(at('archive')).filter(isPartial)).toEqual([]);
  });

  it('leaves no note of where it is written', async () => {
    await keepJob(1);
    expect(await archive.checks.backUp(at('copy'), tools)).toMatchObject({ ok: true });
    expect(readdirSync(at('archive')).filter(isPartial)).toEqual([]);
  });

  it('names what the archive itself has lost', async () => {
    await keepJob(1);
    rmSync(await archive.vault.path(await keepJob(2)));
    const copied = await archive.checks.backUp(at('copy'), tools);
    expect(copied).toMatchObject({
      ok: true,
      value: { jobs: 2, files: 1, lost: [{ name: 'artwork of job SJ-2' }] },
    });
  });

  it('that is cancelled leaves nothing', async () => {
    await keepJob(1);
    await expect(
      archive.checks.backUp(at('copy'), { ...tools, signal: AbortSignal.abort() }),
    ).rejects.toThrow();
    expect(readdirSync(folder).filter((name) => name.includes('copy'))).toEqual([]);
  });

  const nodeOf = (...names: string[]) => statSync(at(...names)).ino;
  const inVault = (backup: string, sha256: string) => [backup, 'vault', sha256.slice(0, 2), sha256] as const;
  const backUp = async (name: string) => {
    const copied = await archive.checks.backUp(at('backups', name), tools);
    if (!copied.ok) throw new Error(copied.problem.message);
    return copied.value;
  };

  it('beside an earlier one shares with it what is sound there, and nothing with the archive', async () => {
    const [kept, damaged] = [await keepJob(1), await keepJob(2)];
    await backUp('march');
    const later = await keepJob(3);
    writeFileSync(at('backups', ...inVault('march', damaged)), 'rotten');
    expect(await backUp('april')).toEqual({ jobs: 3, files: 3, lost: [] });
    const isShared = (sha256: string, a: string, b: string) =>
      nodeOf(...inVault(a, sha256)) === nodeOf(...inVault(b, sha256));
    expect(isShared(kept, 'backups/march', 'backups/april')).toBe(true);
    expect(isShared(damaged, 'backups/march', 'backups/april')).toBe(false);
    for (const sha256 of [kept, damaged, later]) {
      expect(isShared(sha256, 'archive', 'backups/april')).toBe(false);
    }
    const copy = await testArchive(at('backups', 'april'));
    expect(await copy.checks.checkAll(tools)).toMatchObject({ files: 3, absent: [], damaged: [] });
    await copy.close();
  });

  it('that lies beside the archive shares nothing with it either', async () => {
    const kept = await keepJob(1);
    expect(await archive.checks.backUp(at('copy'), tools)).toMatchObject({ ok: true, value: { files: 1 } });
    expect(nodeOf(...inVault('copy', kept))).not.toBe(nodeOf(...inVault('archive', kept)));
  });

  it('goes without what was damaged in the archive, and names it', async () => {
    const sound = await keepJob(1);
    const damaged = await keepJob(2);
    writeFileSync(await archive.vault.path(damaged), 'rotten');
    expect(await backUp('march')).toEqual({
      jobs: 2,
      files: 1,
      lost: [{ sha256: damaged, name: 'artwork of job SJ-2' }],
    });
    expect(existsSync(at('backups', ...inVault('march', sound)))).toBe(true);
    expect(existsSync(at('backups', ...inVault('march', damaged)))).toBe(false);
  });

  it('that is cancelled in the midst of a file leaves nothing, and says before how far it was', async () => {
    writeFileSync(at('art.pdf'), Buffer.alloc(8 << 20, 'panel'));
    const kept = await archive.vault.add(at('art.pdf'));
    const artwork = { ...kept, fileName: 'art.pdf', box: 'crop' as const };
    const job: Job = smallJob({ artwork });
    await archive.jobs.save(job, { panelLabels: [], baseRevision: 0, now: '2026-03-09T10:11:12Z' });
    const abort = new AbortController();
    const seen: number[] = [];
    const report = ({ what, done }: Progress) => {
      if (what !== 'Copying artwork of job SJ-7') return;
      seen.push(done);
      if (done > 0.3) abort.abort();
    };
    await expect(archive.checks.backUp(at('copy'), { signal: abort.signal, report })).rejects.toThrow();
    expect(seen.at(-1)).toBeLessThan(1);
    expect(readdirSync(folder).filter((name) => name.includes('copy'))).toEqual([]);
  });
});

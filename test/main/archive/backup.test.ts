/** A copy that is taken while somebody works, and archives of earlier versions. */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { Archive } from '../../../main/archive/archive.ts';
import { archiveCopied } from '../../../main/archive/backup.ts';
import { databaseOfVersion, EARLIER_JOBS, EARLIER_VERSIONS } from '../../resilience/earlier-archive.ts';
import { smallJob } from '../../support/small-job.ts';

let folder: string;
let archive: Archive;
const at = (...names: string[]) => join(folder, ...names);
const tools = { signal: new AbortController().signal, report: () => undefined };

function openedAt(path: string): Archive {
  const opened = Archive.open(path);
  if (!opened.ok) throw new Error(opened.problem.message);
  return opened.value;
}

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-backup-'));
  archive = openedAt(at('archive'));
});
afterEach(() => {
  archive.close();
  rmSync(folder, { recursive: true });
});

/** A job with an artwork of its own. */
async function jobKept(n: number): Promise<string> {
  writeFileSync(at('art.pdf'), `%PDF-1.7 artwork ${n}`);
  const kept = await archive.vault.addFile(at('art.pdf'));
  const artwork = { ...kept, fileName: 'art.pdf', box: 'crop' as const };
  const job: Job = smallJob({ id: `job-${n}`, number: `SJ-${n}`, artwork });
  archive.saveJob(job, {
    document: jobToJson(job),
    panelLabels: [],
    baseRevision: 0,
    now: '2026-03-09T10:11:12Z',
  });
  return kept.sha256;
}

const numbersIn = (from: Archive) => from.listJobs().map(({ number }) => number);

describe('a backup', () => {
  it('taken while jobs are being saved is whole, and restores by taking the old place', async () => {
    for (let n = 1; n <= 30; n++) await jobKept(n);
    const copying = archiveCopied(archive, at('backups', 'march'), tools);
    for (let n = 31; n <= 60; n++) await jobKept(n);
    const copied = await copying;
    if (!copied.ok) throw new Error(copied.problem.message);
    archive.close();
    rmSync(at('archive'), { recursive: true });
    renameSync(at('backups', 'march'), at('archive'));
    archive = openedAt(at('archive'));
    const report = await archive.checked(tools.signal, tools.report);
    expect(report).toMatchObject({ jobs: copied.value.jobs, databaseTrouble: [], absent: [], damaged: [] });
    expect(report.files).toBe(copied.value.files);
    expect(numbersIn(archive)).toEqual(expect.arrayContaining(['SJ-1', 'SJ-30']));
    expect(readdirSync(at('backups'))).toEqual([]);
  });

  it('names what the archive itself has lost', async () => {
    await jobKept(1);
    rmSync(archive.vault.path(await jobKept(2)));
    const copied = await archiveCopied(archive, at('copy'), tools);
    expect(copied).toMatchObject({
      ok: true,
      value: { jobs: 2, files: 1, lost: [{ name: 'artwork of job SJ-2' }] },
    });
  });

  it('that is cancelled leaves nothing', async () => {
    await jobKept(1);
    await expect(
      archiveCopied(archive, at('copy'), { ...tools, signal: AbortSignal.abort() }),
    ).rejects.toThrow();
    expect(readdirSync(folder).filter((name) => name.includes('copy'))).toEqual([]);
  });
});

describe('an archive of an earlier version', () => {
  it.each(EARLIER_VERSIONS)(
    '%i opens with its jobs, runs and words, in the order of their last change',
    (version) => {
      mkdirSync(at('old'));
      databaseOfVersion(Archive.databasePath(at('old')), version);
      const old = openedAt(at('old'));
      const jobs = version === 0 ? 0 : EARLIER_JOBS;
      expect(old.listJobs()).toHaveLength(jobs);
      expect(old.listJobs({ text: 'long ago lh-02' })).toHaveLength(jobs);
      if (jobs > 0) {
        expect(numbersIn(old)[0]).toBe(`E-${EARLIER_JOBS}`);
        expect(old.outputs('earlier-7')).toMatchObject([
          { programVersion: '0.0.9', files: [{ panelLabel: 'LH-01' }] },
        ]);
        const job = smallJob({ id: 'earlier-7', number: 'E-7' });
        const extra = {
          document: jobToJson(job),
          panelLabels: [],
          baseRevision: 3,
          now: '2026-05-06T07:08:09Z',
        };
        expect(old.saveJob(job, extra)).toMatchObject({ ok: true, value: { revision: 4, outputCount: 1 } });
        expect(numbersIn(old)[0]).toBe('E-7');
        expect(old.listJobs({ text: 'ago' })).toHaveLength(jobs - 1);
      }
      old.close();
      expect(existsSync(`${Archive.databasePath(at('old'))}-wal`)).toBe(false);
    },
  );
});

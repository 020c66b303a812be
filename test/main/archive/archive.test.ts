import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobEmpty } from '../../../core/job/defaults.ts';
import type { Job } from '../../../core/job/schema.ts';
import type { OutputVerification } from '../../../core/verify/output-verification.ts';
import type { VerificationReport } from '../../../core/verify/verification-report.ts';
import { Archive } from '../../../main/archive/archive.ts';
import { databaseSetAside } from '../../../main/archive/database.ts';
import { MIGRATIONS } from '../../../main/archive/migrations.ts';
import { fileProblem } from '../../../main/files/file-problem.ts';

let folder: string;
let archive: Archive;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-archive-'));
  archive = opened();
});
afterEach(() => {
  archive.close();
  rmSync(folder, { recursive: true });
});

function opened(): Archive {
  const result = Archive.open(folder, { busyWaitMs: 50 });
  if (!result.ok) throw new Error(result.problem.message);
  return result.value;
}

function jobOf(number: string, over: Partial<Job> = {}): Job {
  return {
    ...jobEmpty({
      id: `id-${number}`,
      number,
      name: 'Bookmobile wrap',
      customer: 'Alder County Library',
      date: '2026-03-09',
    }),
    ...over,
  };
}

function save(job: Job, baseRevision = 0, now = '2026-03-09T10:11:12Z', panelLabels: string[] = []) {
  return archive.saveJob(job, { document: JSON.stringify(job), panelLabels, baseRevision, now });
}

describe('saving and finding jobs', () => {
  it('gives back the document as saved, by id and by number', () => {
    const job = jobOf('BM-117', { notes: 'mind the “rear” ladder' });
    save(job);
    for (const key of [job.id, job.number]) {
      const found = archive.job(key);
      expect(found.ok && JSON.parse(found.value.document)).toEqual(job);
    }
  });

  it('says when a number belongs to two jobs, and when a job is unknown', () => {
    save(jobOf('BM-117'));
    save({ ...jobOf('BM-117'), id: 'another' });
    expect(archive.job('BM-117')).toMatchObject({ ok: false, problem: { code: 'job-unknown' } });
    expect(archive.job('nothing')).toMatchObject({ ok: false, problem: { code: 'job-unknown' } });
    expect(archive.job('another')).toMatchObject({ ok: true });
  });

  it('refuses a save that began from an older revision and overwrites nothing', () => {
    save(jobOf('BM-117', { name: 'first' }));
    expect(save(jobOf('BM-117', { name: 'second' }), 1)).toMatchObject({ ok: true, value: { revision: 2 } });
    const late = save(jobOf('BM-117', { name: 'late' }), 1);
    expect(late).toMatchObject({ ok: false, problem: { code: 'job-changed-elsewhere' } });
    const found = archive.job('BM-117');
    expect(found.ok && found.value.name).toBe('second');
  });

  it('searches the beginnings of words over all fields, folding case and accents', () => {
    save(
      jobOf('BM-117', { customer: 'Bibliothèque d’Aulne', notes: 'reversing camera left clear' }),
      0,
      '2026-01-02T00:00:00Z',
      ['LH-03'],
    );
    save(
      jobOf('OT-204', {
        customer: 'Alder County Library',
        vehicle: { unitNumber: 'Outreach trailer', kind: 'trailer', licensePlate: '' },
      }),
      0,
      '2026-01-03T00:00:00Z',
    );
    const numbers = (text: string) => archive.listJobs({ text }).map((job) => job.number);
    expect(numbers('biblio')).toEqual(['BM-117']);
    expect(numbers('BIBLIOTHEQUE rever')).toEqual(['BM-117']);
    expect(numbers('outreach')).toEqual(['OT-204']);
    expect(numbers('lh-03')).toEqual(['BM-117']);
    expect(numbers('')).toEqual(['OT-204', 'BM-117']);
    expect(numbers('zebra')).toEqual([]);
  });

  it('takes any text as a search, and never as a command', () => {
    save(jobOf("x'); DROP TABLE jobs; --"));
    for (const text of ['"', "' OR 1=1", 'a" OR "b', '*', 'NEAR(', 'x:y', '\u0000', '🚐', 'col:', '(((']) {
      expect(() => archive.listJobs({ text })).not.toThrow();
    }
    expect(archive.listJobs({ text: 'drop' })).toHaveLength(1);
  });

  it('finds text that the index takes for two words where the typing shows one', () => {
    // A Syriac letter, a comma above, a Han character: two words to the index, which is asked for words alone.
    save(jobOf('BM-117', { customer: '\u074d\u0312\u3400' }));
    save(jobOf('OT-204', { customer: 'Alder' }));
    const numbers = (text: string) => archive.listJobs({ text }).map((job) => job.number);
    expect(numbers('\u074d\u0312\u3400')).toEqual(['BM-117']);
    expect(numbers('\u3400')).toEqual(['BM-117']);
    expect(numbers('ald\u0312\u3400')).toEqual([]);
  });

  it('filters by the day of the last change, both ends included', () => {
    for (const [number, now] of [
      ['A', '2026-03-08T23:59:59Z'],
      ['B', '2026-03-09T00:00:00Z'],
      ['C', '2026-03-10T12:00:00Z'],
      ['D', '2026-03-11T00:00:00Z'],
    ] as const)
      save(jobOf(number), 0, now);
    const found = archive.listJobs({ changedFrom: '2026-03-09', changedTo: '2026-03-10' });
    expect(found.map((job) => job.number)).toEqual(['C', 'B']);
  });
});

describe('output history', () => {
  const run = (job: Job) => ({
    jobId: job.id,
    kind: 'output' as const,
    reason: '',
    at: '2026-03-09T14:15:16Z',
    programVersion: '0.1.0',
    document: JSON.stringify(job),
    artworkSha256: 'a'.repeat(64),
    folder: 'out',
    files: [
      { name: 'map.pdf', kind: 'map' as const, sha256: 'b'.repeat(64), sizeBytes: 71 },
      {
        name: 'panels/LH-01.pdf',
        kind: 'panel' as const,
        sha256: 'c'.repeat(64),
        sizeBytes: 1234,
        panelId: 'p1',
        panelLabel: 'LH-01',
      },
    ],
  });

  it('records runs with their files and gives them back', () => {
    const job = jobOf('BM-117');
    save(job);
    const first = archive.recordOutput(run(job));
    const reprint = archive.recordOutput({
      ...run(job),
      kind: 'reprint',
      reprintOf: first.id,
      reason: 'scratched',
    });
    expect(archive.outputs(job.id)).toEqual([first, reprint]);
    const verification = { state: 'not-verified', sentences: [] };
    expect(archive.output(first.id)).toEqual({
      ok: true,
      value: { ...run(job), id: first.id, verification },
    });
    expect(archive.listJobs()[0]?.outputCount).toBe(2);
  });

  it('PF12 keeps what the verification of a run came to, the latest only', () => {
    const job = jobOf('BM-117');
    save(job);
    const { id } = archive.recordOutput(run(job));
    const failed: OutputVerification = { state: 'failed', sentences: ['LH-01 is missing. Cut it again.'] };
    archive.recordVerification(id, failed);
    expect(archive.outputs(job.id)[0]?.verification).toEqual(failed);
    expect(archive.verificationReport(id)).toBeUndefined();
    const report: VerificationReport = {
      format: 'panelwright-verification',
      version: 1,
      program: { name: 'Panelwright', version: '0.1.0' },
      renderer: 'another renderer',
      state: 'verified',
      sides: [],
      faults: [],
    };
    archive.recordVerification(id, { state: 'verified', sentences: ['All is well.'] }, report);
    const kept = archive.output(id);
    expect(kept.ok && kept.value.verification).toEqual({ state: 'verified', sentences: ['All is well.'] });
    expect(archive.verificationReport(id)).toEqual(report);
    expect(() => archive.recordVerification(999, failed)).toThrow(/FOREIGN KEY/);
  });

  it('PF12 brings an archive from before verifications up to date: its runs stay, not verified', () => {
    const job = jobOf('BM-117');
    archive.close();
    const path = Archive.databasePath(folder);
    rmSync(path);
    const db = new Database(path);
    db.exec(MIGRATIONS[0]!);
    db.pragma('user_version = 1');
    db.prepare(
      `INSERT INTO jobs (id, number, name, customer, unit_name, document, revision, created_at, updated_at)
       VALUES (?, ?, ?, ?, ?, ?, 1, ?, ?)`,
    ).run(job.id, job.number, job.name, job.customer, '', JSON.stringify(job), '2026-03-09', '2026-03-09');
    db.prepare(
      `INSERT INTO runs (job_id, kind, reason, at, program_version, document, artwork_sha256, folder)
       VALUES (?, 'output', '', '2026-03-09T14:15:16Z', '0.1.0', '{}', ?, 'out')`,
    ).run(job.id, 'a'.repeat(64));
    expect(() => db.prepare('SELECT * FROM run_verifications').all()).toThrow(/no such table/);
    db.close();
    archive = opened();
    const [old] = archive.outputs(job.id);
    expect(old).toMatchObject({ folder: 'out', verification: { state: 'not-verified', sentences: [] } });
    archive.recordVerification(old!.id, { state: 'verified', sentences: [] });
    archive.close();
    const after = new Database(path);
    expect(after.pragma('user_version', { simple: true })).toBe(MIGRATIONS.length);
    expect(after.prepare('SELECT state, is_released FROM run_verifications').all()).toEqual([
      { state: 'verified', is_released: 1 },
    ]);
    after.close();
    archive = opened();
  });

  it('refuses a run of a job that was never saved, and leaves none of its rows', () => {
    expect(() => archive.recordOutput(run(jobOf('ghost')))).toThrow(/FOREIGN KEY/);
    expect(archive.output(1)).toMatchObject({ ok: false, problem: { code: 'output-unknown' } });
  });
});

describe('a database in trouble', () => {
  it('is not touched when damaged, and goes aside whole when told', () => {
    archive.close();
    const path = Archive.databasePath(folder);
    writeFileSync(path, 'not a database, but somebody’s data');
    const result = Archive.open(folder);
    expect(result).toMatchObject({ ok: false, problem: { code: 'archive-damaged' } });
    expect(readFileSync(path, 'utf8')).toBe('not a database, but somebody’s data');
    const aside = databaseSetAside(path, '2026-03-09T10:11:12Z');
    expect(readFileSync(aside, 'utf8')).toBe('not a database, but somebody’s data');
    archive = opened();
    expect(archive.listJobs()).toEqual([]);
  });

  it('notices a database whose pages were overwritten', () => {
    for (let i = 0; i < 200; i++) save(jobOf(`N-${i}`, { notes: 'x'.repeat(500) }));
    archive.close();
    const path = Archive.databasePath(folder);
    const bytes = readFileSync(path);
    bytes.fill(0xa5, 8192, bytes.length - 4096);
    writeFileSync(path, bytes);
    expect(Archive.open(folder)).toMatchObject({ ok: false, problem: { code: 'archive-damaged' } });
  });

  it('of a newer version is left alone', () => {
    archive.close();
    const db = new Database(Archive.databasePath(folder));
    db.pragma(`user_version = ${MIGRATIONS.length + 1}`);
    db.close();
    expect(Archive.open(folder)).toMatchObject({ ok: false, problem: { code: 'archive-newer' } });
  });

  it('that another program holds is reported as locked', () => {
    archive.close();
    const other = new Database(Archive.databasePath(folder));
    other.pragma('journal_mode = DELETE');
    other.exec('BEGIN EXCLUSIVE');
    expect(Archive.open(folder, { busyWaitMs: 20 })).toMatchObject({
      ok: false,
      problem: { code: 'archive-locked' },
    });
    other.close();
    archive = opened();
  });

  it('in a folder that cannot exist is reported as not writable', () => {
    writeFileSync(join(folder, 'file'), '');
    expect(Archive.open(join(folder, 'file', 'below'))).toMatchObject({
      ok: false,
      problem: { code: 'archive-not-writable' },
    });
  });
});

describe('the vault', () => {
  it('keeps equal files once and notices damage', async () => {
    const path = join(folder, 'artwork.pdf');
    writeFileSync(path, '%PDF-1.7 anything');
    const first = await archive.vault.addFile(path);
    const again = await archive.vault.addFile(path);
    expect(again).toEqual(first);
    expect(await archive.vault.state(first.sha256)).toBe('sound');
    writeFileSync(archive.vault.path(first.sha256), 'damaged');
    expect(await archive.vault.state(first.sha256)).toBe('damaged');
    await archive.vault.addFile(path);
    expect(await archive.vault.state(first.sha256)).toBe('sound');
    expect(await archive.vault.state('0'.repeat(64))).toBe('absent');
  });

  it('is named by what goes wrong in it, and the file that goes in by its own absence', async () => {
    const path = join(folder, 'artwork.pdf');
    writeFileSync(path, '%PDF-1.7 anything');
    const problem = async (source: string) =>
      await archive.vault.addFile(source).catch((error: unknown) => fileProblem(error, 'the output folder'));
    rmSync(archive.vault.folder, { recursive: true, force: true });
    writeFileSync(archive.vault.folder, 'in the way');
    expect(await problem(path)).toMatchObject({
      code: 'folder-not-writable',
      message: expect.stringContaining(archive.vault.folder),
    });
    rmSync(archive.vault.folder);
    const gone = join(folder, 'gone.pdf');
    expect(await problem(gone)).toMatchObject({ code: 'file-missing', message: `${gone} does not exist.` });
  });

  it('names a blob by FIPS 180-4: the SHA-256 of “abc”', async () => {
    const path = join(folder, 'abc');
    writeFileSync(path, 'abc');
    // FIPS 180-4 example values, NIST: SHA-256("abc").
    const known = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';
    expect((await archive.vault.addFile(path)).sha256).toBe(known);
  });
});

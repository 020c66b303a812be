import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobEmpty } from '../../../core/job/defaults.ts';
import type { Job } from '../../../core/job/schema.ts';
import type { OutputVerification } from '../../../core/verify/output-verification.ts';
import type { VerificationReport } from '../../../core/verify/verification-report.ts';
import { openArchive, setArchiveAside } from '../../../main/archive/archive.ts';
import { databasePath } from '../../../main/archive/database.ts';
import type { Archive } from '../../../main/archive/port.ts';
import { fileProblem } from '../../../main/files/file-problem.ts';
import { describeArchives } from '../../support/archive-kinds.ts';
import { resultValue } from '../../support/panel-check.ts';
import { testArchive } from '../../support/test-archive.ts';

describeArchives('the archive', (newPlace, isShared) => {
  let folder: string;
  let place: string;
  let archive: Archive;

  beforeEach(async () => {
    ({ folder, place } = await newPlace());
    archive = await open();
  });
  afterEach(async () => {
    await archive.close();
    rmSync(folder, { recursive: true });
  });

  const open = () => testArchive(place, { busyWaitMs: 50 });

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
    return archive.jobs.save(job, { panelLabels, baseRevision, now });
  }

  describe('saving and finding jobs', () => {
    it('gives back the document as saved, by id and by number', async () => {
      const job = jobOf('BM-117', { notes: 'mind the “rear” ladder' });
      await save(job);
      for (const key of [job.id, job.number]) {
        const found = await archive.jobs.find(key);
        expect(found.ok && JSON.parse(found.value.document)).toEqual(job);
      }
    });

    it('gives a number to one job only, however it is typed, and says when a job is unknown', async () => {
      await save(jobOf('BM-117'));
      for (const number of ['BM-117', 'bm-117 ', 'ＢＭ-117']) {
        const taken = await save({ ...jobOf('BM-117'), number, id: 'another' });
        expect(taken).toMatchObject({ ok: false, problem: { code: 'job-number-taken' } });
        expect(await archive.jobs.find(number)).toMatchObject({ ok: true, value: { number: 'BM-117' } });
      }
      expect(await archive.jobs.find('another')).toMatchObject({
        ok: false,
        problem: { code: 'job-unknown' },
      });
      expect(await archive.jobs.withNumber('BM-118')).toBeUndefined();
    });

    it('refuses a save that began from an older revision and overwrites nothing', async () => {
      await save(jobOf('BM-117', { name: 'first' }));
      expect(await save(jobOf('BM-117', { name: 'second' }), 1)).toMatchObject({
        ok: true,
        value: { revision: 2 },
      });
      const late = await save(jobOf('BM-117', { name: 'late' }), 1);
      expect(late).toMatchObject({ ok: false, problem: { code: 'job-changed-elsewhere' } });
      const found = await archive.jobs.find('BM-117');
      expect(found.ok && found.value.name).toBe('second');
    });

    it('searches the beginnings of words over all fields, folding case and accents', async () => {
      await save(
        jobOf('BM-117', { customer: 'Bibliothèque d’Aulne', notes: 'reversing camera left clear' }),
        0,
        '2026-01-02T00:00:00Z',
        ['LH-03'],
      );
      await save(
        jobOf('OT-204', {
          customer: 'Alder County Library',
          vehicles: [
            { id: 'v1', kind: 'trailer', units: [{ unitNumber: 'Outreach trailer', licensePlate: '' }] },
          ],
        }),
        0,
        '2026-01-03T00:00:00Z',
      );
      const numbers = async (text: string) => (await archive.jobs.list({ text })).map((job) => job.number);
      expect(await numbers('biblio')).toEqual(['BM-117']);
      expect(await numbers('BIBLIOTHEQUE rever')).toEqual(['BM-117']);
      expect(await numbers('outreach')).toEqual(['OT-204']);
      expect(await numbers('lh-03')).toEqual(['BM-117']);
      expect(await numbers('')).toEqual(['OT-204', 'BM-117']);
      expect(await numbers('zebra')).toEqual([]);
    });

    it('takes any text as a search, and never as a command', async () => {
      await save(jobOf("x'); DROP TABLE jobs; --", { id: 'x' }));
      for (const text of ['"', "' OR 1=1", 'a" OR "b', '*', 'NEAR(', 'x:y', '\u0000', '🚐', 'col:', '(((']) {
        await archive.jobs.list({ text });
      }
      expect(await archive.jobs.list({ text: 'drop' })).toHaveLength(1);
    });

    it('finds text that the index takes for two words where the typing shows one', async () => {
      // A Syriac letter, a comma above, a Han character: two words to the index, which is asked for words alone.
      await save(jobOf('BM-117', { customer: '\u074d\u0312\u3400' }));
      await save(jobOf('OT-204', { customer: 'Alder' }));
      const numbers = async (text: string) => (await archive.jobs.list({ text })).map((job) => job.number);
      expect(await numbers('\u074d\u0312\u3400')).toEqual(['BM-117']);
      expect(await numbers('\u3400')).toEqual(['BM-117']);
      expect(await numbers('ald\u0312\u3400')).toEqual([]);
    });

    it('filters by the day of the last change, both ends included', async () => {
      for (const [number, now] of [
        ['A', '2026-03-08T23:59:59Z'],
        ['B', '2026-03-09T00:00:00Z'],
        ['C', '2026-03-10T12:00:00Z'],
        ['D', '2026-03-11T00:00:00Z'],
      ] as const)
        await save(jobOf(number), 0, now);
      const found = await archive.jobs.list({ changedFrom: '2026-03-09', changedTo: '2026-03-10' });
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

    it('records runs with their files and gives them back', async () => {
      const job = jobOf('BM-117');
      await save(job);
      const first = await archive.outputs.keep(run(job));
      const reprint = await archive.outputs.keep({
        ...run(job),
        kind: 'reprint',
        reprintOf: first.number,
        reason: 'scratched',
      });
      expect(await archive.outputs.list(job.id)).toEqual([first, reprint]);
      const verification = { state: 'not-verified', sentences: [] };
      expect(await archive.outputs.find(first.id)).toEqual({
        ok: true,
        value: { ...run(job), id: first.id, number: 1, verification },
      });
      expect((await archive.jobs.list())[0]?.outputCount).toBe(2);
    });

    it('keeps what an output was really made with, the latest only, and lets it go with the job', async () => {
      const job = jobOf('BM-117');
      await save(job);
      const { id } = await archive.outputs.keep(run(job));
      expect((await archive.outputs.list(job.id))[0]).not.toHaveProperty('record');
      await archive.outputs.keepRecord(id, { filmLot: 'F-2291', printer: 'North wall' });
      const kept = await archive.outputs.keepRecord(id, { filmLot: 'F-2292' });
      expect(kept).toMatchObject({ ok: true, value: { id, record: { filmLot: 'F-2292' } } });
      expect((await archive.outputs.list(job.id))[0]?.record).toEqual({ filmLot: 'F-2292' });
      expect(await archive.outputs.keepRecord(999, {})).toMatchObject({
        ok: false,
        problem: { code: 'output-unknown' },
      });
      expect((await archive.deletions.deleteJobs([job.id], Date.parse('2026-03-10T00:00:00Z'))).ok).toBe(
        true,
      );
      expect(await archive.outputs.list(job.id)).toEqual([]);
    });

    it('gives the last number back, and no other', async () => {
      const first = await archive.outputs.reserveNumber('a', 1);
      const second = await archive.outputs.reserveNumber('a', 1);
      await archive.outputs.releaseNumber('a', first);
      expect(await archive.outputs.reserveNumber('a', 1)).toBe(second + 1);
      await archive.outputs.releaseNumber('a', second + 1);
      expect(await archive.outputs.reserveNumber('a', 1)).toBe(second + 1);
    });

    it('counts the outputs of each job from 1', async () => {
      const [one, other] = [jobOf('BM-117'), jobOf('OT-204')];
      for (const job of [one, other, one, other, one]) {
        await save(job, (await archive.jobs.find(job.id)).ok ? 1 : 0);
        await archive.outputs.keep(run(job));
      }
      const again = await archive.outputs.keep({
        ...run(other),
        kind: 'reprint',
        reprintOf: 2,
        reason: 'torn',
      });
      expect(again).toMatchObject({ number: 3, reprintOf: 2 });
      const numbers = async ({ id }: Job) => (await archive.outputs.list(id)).map(({ number }) => number);
      expect(await numbers(one)).toEqual([1, 2, 3]);
      expect(await numbers(other)).toEqual([1, 2, 3]);
      expect(await archive.outputs.reserveNumber(one.id, 7)).toBe(7);
      expect(await archive.outputs.reserveNumber(other.id, 1)).toBe(4);
      const found = await archive.outputs.findNumbered('ot-204 ', 3);
      expect(found.ok && found.value).toMatchObject({ id: again.id, jobId: other.id, reprintOf: 2 });
      for (const unknown of [
        await archive.outputs.findNumbered('OT-204', 9),
        await archive.outputs.findNumbered('OT-205', 1),
      ])
        expect(unknown.ok).toBe(false);
    });

    it('keeps what the verification of a run came to, the latest only', async () => {
      const job = jobOf('BM-117');
      await save(job);
      const { id } = await archive.outputs.keep(run(job));
      const failed: OutputVerification = { state: 'failed', sentences: ['LH-01 is missing. Cut it again.'] };
      await archive.outputs.keepVerification(id, failed);
      expect((await archive.outputs.list(job.id))[0]?.verification).toEqual(failed);
      expect(await archive.outputs.verificationReport(id)).toBeUndefined();
      const report: VerificationReport = {
        format: 'panelwright-verification',
        version: 1,
        program: { name: 'Panelwright', version: '0.1.0' },
        renderer: 'another renderer',
        state: 'verified',
        sides: [],
        faults: [],
        notes: [],
      };
      await archive.outputs.keepVerification(id, { state: 'verified', sentences: ['All is well.'] }, report);
      const kept = await archive.outputs.find(id);
      expect(kept.ok && kept.value.verification).toEqual({ state: 'verified', sentences: ['All is well.'] });
      expect(await archive.outputs.verificationReport(id)).toEqual(report);
      await expect(archive.outputs.keepVerification(999, failed)).rejects.toThrow(/foreign key/i);
    });

    it('refuses a run of a job that was never saved, and leaves none of its rows', async () => {
      await expect(archive.outputs.keep(run(jobOf('ghost')))).rejects.toThrow(/foreign key/i);
      expect(await archive.outputs.find(1)).toMatchObject({ ok: false, problem: { code: 'output-unknown' } });
    });
  });

  describe('the vault', () => {
    it('keeps equal files once and notices damage', async () => {
      const path = join(folder, 'artwork.pdf');
      writeFileSync(path, '%PDF-1.7 anything');
      const first = await archive.vault.add(path);
      const again = await archive.vault.add(path);
      expect(again).toEqual(first);
      expect(await archive.vault.state(first.sha256)).toBe('sound');
      writeFileSync(await archive.vault.path(first.sha256), 'damaged');
      expect(await archive.vault.state(first.sha256)).toBe('damaged');
      await archive.vault.add(path);
      expect(await archive.vault.state(first.sha256)).toBe('sound');
      expect(await archive.vault.state('0'.repeat(64))).toBe('absent');
    });

    it('is named by what goes wrong in it, and the file that goes in by its own absence', async () => {
      const path = join(folder, 'artwork.pdf');
      writeFileSync(path, '%PDF-1.7 anything');
      const problem = async (source: string) =>
        await archive.vault.add(source).catch((error: unknown) => fileProblem(error, 'the output folder'));
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
      expect((await archive.vault.add(path)).sha256).toBe(known);
    });
  });

  if (isShared) return;
  describe('a database in trouble', () => {
    it('is not touched when damaged, and goes aside whole when told', async () => {
      await archive.close();
      const path = databasePath(place);
      writeFileSync(path, 'not a database, but somebody’s data');
      const result = await openArchive(place);
      expect(result).toMatchObject({ ok: false, problem: { code: 'archive-damaged' } });
      expect(readFileSync(path, 'utf8')).toBe('not a database, but somebody’s data');
      const aside = resultValue(await setArchiveAside(place, '2026-03-09T10:11:12Z'));
      expect(readFileSync(aside!, 'utf8')).toBe('not a database, but somebody’s data');
      archive = await open();
      expect(await archive.jobs.list()).toEqual([]);
    });

    it('notices a database whose pages were overwritten', async () => {
      for (let i = 0; i < 200; i++) await save(jobOf(`N-${i}`, { notes: 'x'.repeat(500) }));
      await archive.close();
      const path = databasePath(place);
      const bytes = readFileSync(path);
      bytes.fill(0xa5, 8192, bytes.length - 4096);
      writeFileSync(path, bytes);
      expect(await openArchive(place)).toMatchObject({ ok: false, problem: { code: 'archive-damaged' } });
    });

    it('that another program holds is reported as locked', async () => {
      await archive.close();
      const other = new Database(databasePath(place));
      other.pragma('journal_mode = DELETE');
      other.exec('BEGIN EXCLUSIVE');
      expect(await openArchive(place, { busyWaitMs: 20 })).toMatchObject({
        ok: false,
        problem: { code: 'archive-locked' },
      });
      other.close();
      archive = await open();
    });

    it('in a folder that cannot exist is reported as not writable', async () => {
      writeFileSync(join(folder, 'file'), '');
      expect(await openArchive(join(folder, 'file', 'below'))).toMatchObject({
        ok: false,
        problem: { code: 'archive-not-writable' },
      });
    });
  });
});

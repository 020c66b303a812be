/** Disks that are full or read-only: one sentence, no half file, nothing lost that was there before. */
import { existsSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../core/job/job-json.ts';
import { databasePath } from '../../main/archive/database.ts';
import { EXIT } from '../../main/command/exit-code.ts';
import { commandLine } from '../support/command-line.ts';
import { ServiceClient } from '../support/service-client.ts';
import { describeWithSmallDisk, SmallDisk } from '../support/small-disk.ts';
import { smallArtwork, smallJob } from '../support/small-job.ts';
import { testArchive } from '../support/test-archive.ts';
import { testServices } from '../support/test-services.ts';

let disk: SmallDisk;
let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const onDisk = (...names: string[]) => join(disk.folder, ...names);

const run = (archive: string, ...args: string[]) => commandLine(['--archive', archive, ...args]);

/** A job whose notes take several pages of the database and differ each time. */
const noted = (n: number) => smallJob({ notes: `${n} `.repeat(3000).slice(0, 9000) });

/** What is on the small disk beside the filler. */
const files = (): string[] =>
  readdirSync(disk.folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name !== 'filler' && statSync(onDisk(name)).isFile())
    .sort();

const cut = (archive: string, out: string) =>
  run(
    archive,
    'cut',
    at('job.json'),
    '--artwork',
    at('art.pdf'),
    '--to',
    out,
    '--sheets',
    'none',
    '--no-verification',
  );

function expectOneSentence({ code, err }: { code: number; err: string }, exit: number, words: RegExp): void {
  expect(err).toMatch(words);
  expect(err.trim().split('\n')).toHaveLength(1);
  expect(code).toBe(exit);
}

async function expectSound(archive: string, jobs: number): Promise<void> {
  const opened = await testArchive(archive);
  const report = await opened.checks.checkAll({
    signal: new AbortController().signal,
    report: () => undefined,
  });
  expect(report).toMatchObject({ jobs, databaseTrouble: [], absent: [], damaged: [] });
  await opened.close();
}

/** What the database's log holds goes into the database, and the room that it has taken serves the next saves. */
function emptyLog(archive: string): void {
  const db = new Database(databasePath(archive));
  db.pragma('wal_checkpoint(RESTART)');
  db.close();
}

describeWithSmallDisk('a disk', () => {
  beforeEach(async () => {
    disk = new SmallDisk(6000);
    folder = mkdtempSync(join(tmpdir(), 'panelwright-full-disk-'));
    writeFileSync(at('art.pdf'), await smallArtwork());
    writeFileSync(at('job.json'), jobToJson(smallJob()));
  });
  afterEach(() => {
    disk.close();
    rmSync(folder, { recursive: true });
  });

  it('that is full takes no output, and leaves no half one', async () => {
    disk.fill(0);
    expectOneSentence(
      await cut(at('archive'), onDisk('out')),
      EXIT.files,
      /disk that holds .*out.SJ-7 is full/,
    );
    expect(files()).toEqual([]);
    expect(existsSync(onDisk('out'))).toBe(false);
    disk.free();
    expect((await cut(at('archive'), onDisk('out'))).code).toBe(EXIT.done);
  });

  it('that is full with the archive on it keeps what was there', async () => {
    const archive = onDisk('archive');
    expect((await cut(archive, at('first'))).code).toBe(EXIT.done);
    disk.fill(0);
    writeFileSync(at('art.pdf'), await smallArtwork(2));
    writeFileSync(at('other.json'), jobToJson(smallJob({ id: 'other', number: 'SJ-8' })));
    expectOneSentence(
      await run(archive, 'import', at('art.pdf'), '--job', at('other.json')),
      EXIT.archive,
      /The disk that holds the archive .* is full.* Free some space/,
    );
    expect(files().filter((name) => name.endsWith('.partial'))).toEqual([]);
    disk.free();
    await expectSound(archive, 1);
  });

  it('that fills up under the database loses nothing of it', async () => {
    const archiveFolder = onDisk('archive');
    const services = await testServices(archiveFolder);
    const client = new ServiceClient(services);
    await client.reply('job:save', { job: smallJob(), baseRevision: 0 });
    disk.fill(0);
    const file = client.chosenFile(at('art.pdf'));
    const imported = await client.ask('artwork:import', { file, box: 'crop' });
    // The database notes that there are files before the first comes in, and may have room for that in its own files.
    expect(imported).toMatchObject({
      ok: false,
      problem: { code: expect.stringMatching(/^(archive-)?disk-full$/) },
    });
    expect(files().filter((name) => name.includes('vault'))).toEqual([]);
    // The database has some room left in its own files, so not the first save is the one that fails.
    let revision = 1;
    let answer: Awaited<ReturnType<typeof save>>;
    const save = () => client.ask('job:save', { job: noted(revision), baseRevision: revision });
    for (answer = await save(); answer.ok; answer = await save()) revision = answer.value.revision;
    expect(answer).toMatchObject({
      problem: {
        code: 'archive-disk-full',
        message: expect.stringMatching(/^The disk that holds .* is full/),
      },
    });
    const kept = await client.reply('job:open', { id: 'small-job' });
    expect(kept).toMatchObject({ revision, job: { notes: revision === 1 ? '' : noted(revision - 1).notes } });
    disk.free();
    expect(await client.reply('job:save', { job: noted(revision), baseRevision: revision })).toEqual({
      revision: revision + 1,
    });
    await services.close();
    await expectSound(archiveFolder, 1);
  });

  it('that holds the archive is named where it fills up after the panels were written elsewhere', async () => {
    const services = await testServices(onDisk('archive'));
    const client = new ServiceClient(services);
    const { reference } = await client.reply('artwork:import', {
      file: client.chosenFile(at('art.pdf')),
      box: 'crop',
    });
    await client.reply('job:save', { job: { ...noted(1), artwork: reference }, baseRevision: 0 });
    emptyLog(onDisk('archive'));
    const output = async () =>
      await client.ask('output:write', {
        jobId: 'small-job',
        folder: client.chosenFolder(at('out')),
        sheets: [],
        isVerified: false,
      });
    disk.fill(0);
    const refused = await output();
    if (refused.ok) throw new Error('there was room');
    const { message, remedy } = refused.problem;
    // The database has the number of the output, or it is what is full.
    expect([
      `The disk that holds ${onDisk('archive', 'vault')} is full.`,
      `The archive ${onDisk('archive', 'archive.sqlite')} cannot be written (SQLITE_FULL).`,
    ]).toContain(message);
    expect(remedy).toContain(
      `The files in ${at('out', 'SJ-7', 'output-1')} are whole, but the archive does not have them`,
    );
    expect(existsSync(at('out', 'SJ-7', 'output-1', 'manifest.json'))).toBe(true);
    expect(await client.reply('output:list', { jobId: 'small-job' })).toEqual([]);
    disk.free();
    expect(await output()).toMatchObject({ ok: true });
    await services.close();
  });

  it('that is full takes no bundle', async () => {
    const archive = at('archive');
    await run(archive, 'save', at('job.json'), '--artwork', at('art.pdf'));
    const services = await testServices(archive);
    const client = new ServiceClient(services);
    disk.fill(0);
    const exported = await client.ask('job:export', {
      id: 'small-job',
      folder: client.chosenFolder(disk.folder),
    });
    expect(exported).toMatchObject({ ok: false, problem: { code: 'disk-full' } });
    expect(files()).toEqual([]);
    await services.close();
  });

  it('that is full takes no backup, and says which disk is', async () => {
    const archive = at('archive');
    await run(archive, 'save', at('job.json'), '--artwork', at('art.pdf'));
    for (const leaveKb of [0, 40]) {
      disk.fill(leaveKb);
      expectOneSentence(
        await run(archive, 'archive-backup', '--to', onDisk('backup')),
        EXIT.files,
        /^The disk that holds [^ ]*\/backup is full\./,
      );
      expect(files()).toEqual([]);
      disk.free();
    }
    await expectSound(archive, 1);
  });

  it('that is read-only still shows the archive on it', async () => {
    const archive = onDisk('archive');
    expect((await cut(archive, at('first'))).code).toBe(EXIT.done);
    disk.setReadOnly(true);
    expect((await run(archive, 'jobs')).out).toContain('SJ-7');
    expect((await run(archive, 'history', 'SJ-7')).out).toContain('LH-01');
    expect((await run(archive, 'archive-check')).out).toContain('is sound');
    expect((await run(archive, 'archive-backup', '--to', at('backup'))).code).toBe(EXIT.done);
    const services = await testServices(archive);
    const client = new ServiceClient(services);
    const { job, revision, lockedBy } = await client.reply('job:open', { id: 'small-job' });
    expect(lockedBy).toBe('read-only-archive');
    expect(await client.ask('job:save', { job, baseRevision: revision })).toMatchObject({
      ok: false,
      problem: { code: 'archive-read-only' },
    });
    await services.close();
    disk.setReadOnly(false);
    await expectSound(at('backup'), 1);
  });

  it('that is read-only takes neither output nor archive, and both say so', async () => {
    expect((await cut(onDisk('archive'), at('first'))).code).toBe(EXIT.done);
    const before = files();
    disk.setReadOnly(true);
    expectOneSentence(
      await cut(at('archive'), onDisk('out')),
      EXIT.files,
      /cannot be read or written \(EROFS\)/,
    );
    expectOneSentence(
      await run(onDisk('archive'), 'save', at('job.json'), '--artwork', at('art.pdf')),
      EXIT.archive,
      /can only be read/,
    );
    disk.setReadOnly(false);
    expect(files()).toEqual(before);
    await expectSound(onDisk('archive'), 1);
  });
});

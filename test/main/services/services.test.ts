/** The services behind the screens, with a real database, real threads and real PDFs. */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PDFDocument } from 'pdf-lib';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import type { Services } from '../../../main/services/services.ts';
import { forkTaskProcess } from '../../../main/tasks/forked-process.ts';
import { ProcessTasks } from '../../../main/tasks/task-runner.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;
let client: ServiceClient;
let minute = 0;
const at = (...names: string[]) => join(folder, ...names);

const start = () =>
  testServices(at('archive'), {
    chooseFolder: async () => at('out'),
    now: () => `2026-03-09T10:${String(minute++).padStart(2, '0')}:00.000Z`,
  });

beforeEach(async () => {
  minute = 0;
  folder = mkdtempSync(join(tmpdir(), 'panelwright-services-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  services = await start();
  client = new ServiceClient(services);
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

/** A job with its artwork in the archive. */
async function savedJob(over: Partial<Job> = {}): Promise<{ job: Job; revision: number }> {
  const facts = await client.reply('artwork:import', { file: client.chosenFile(at('art.pdf')), box: 'crop' });
  const job = { ...smallJob(over), artwork: facts.reference };
  return { job, ...(await client.reply('job:save', { job, baseRevision: 0 })) };
}

describe('artwork', () => {
  it('is imported with its pages, kept in the vault, and drawn', async () => {
    const facts = await client.reply('artwork:import', {
      file: client.chosenFile(at('art.pdf'), 'van.pdf'),
      box: 'crop',
    });
    expect(facts.reference.fileName).toBe('van.pdf');
    expect(facts.pages[0]).toMatchObject({ number: 1, rotate: 0, userUnit: 1 });
    expect(facts.pages[0]!.extent.widthMm).toBeCloseTo(320, 6);
    rmSync(at('art.pdf'));
    expect(await client.reply('artwork:facts', { reference: facts.reference })).toMatchObject(facts);

    // The gray rectangle lies 20 to 110 mm from the left and, y down, 70 to 110 mm from the top.
    const window = { xMm: 30, yMm: 75, widthMm: 40, heightMm: 30 };
    const picture = await client.reply('artwork:picture', {
      reference: facts.reference,
      page: 1,
      window,
      widthPx: 64,
    });
    expect([picture.widthPx, picture.heightPx]).toEqual([64, 48]);
    const { createCanvas, loadImage } = await import('@napi-rs/canvas');
    const canvas = createCanvas(64, 48);
    canvas.getContext('2d').drawImage(await loadImage(Buffer.from(picture.png)), 0, 0);
    expect([...canvas.getContext('2d').getImageData(5, 40, 1, 1).data]).toEqual([204, 204, 204, 255]);
  });

  it('that is no PDF, or that nobody chose, is refused', async () => {
    writeFileSync(at('letter.pdf'), 'Dear sir');
    const letter = await client.ask('artwork:import', {
      file: client.chosenFile(at('letter.pdf')),
      box: 'crop',
    });
    expect(letter).toMatchObject({ ok: false, problem: { code: 'pdf-not-a-pdf' } });
    const stranger = new ServiceClient(services, 'client-2');
    const file = client.chosenFile(at('art.pdf'));
    expect(await stranger.ask('artwork:import', { file, box: 'crop' })).toMatchObject({
      ok: false,
      problem: { code: 'token-unknown' },
    });
  });

  it('in several PDFs is imported as one, or not at all where one is no PDF or is locked', async () => {
    const locked = await PDFDocument.create();
    locked.addPage([300, 200]);
    locked.encrypt({ userPassword: 'alder-417', ownerPassword: 'owner-204' });
    writeFileSync(at('locked.pdf'), await locked.save());
    writeFileSync(at('letter.pdf'), 'Dear sir');
    const importWith = (...names: string[]) =>
      client.ask('artwork:import', {
        file: client.chosenFile(at('art.pdf')),
        others: names.map((name) => client.chosenFile(at(name))),
        box: 'crop',
      });
    expect(await importWith('letter.pdf')).toMatchObject({
      problem: { code: 'pdf-not-a-pdf', message: expect.stringContaining('letter.pdf') },
    });
    expect(await importWith('art.pdf', 'locked.pdf')).toMatchObject({
      problem: {
        code: 'pdf-password-needed',
        message: 'locked.pdf: The PDF opens with a password only.',
      },
    });
    expect(readdirSync(at('archive')).includes('vault') && readdirSync(at('archive', 'vault'))).toBeFalsy();
    expect(await importWith('art.pdf')).toMatchObject({
      ok: true,
      value: {
        reference: { fileName: 'art and 1 more.pdf', files: [{ pages: 1 }, { pages: 1 }] },
        pages: [{ number: 1 }, { number: 2 }],
      },
    });
  });

  it('that waits for a password says so, takes it, and never writes it down', async () => {
    const document = await PDFDocument.create();
    document.addPage([300, 200]).drawText('secret art');
    document.encrypt({ userPassword: 'alder-417', ownerPassword: 'owner-204' });
    writeFileSync(at('locked.pdf'), await document.save());
    const file = client.chosenFile(at('locked.pdf'));
    expect(await client.ask('artwork:import', { file, box: 'crop' })).toMatchObject({
      problem: { code: 'pdf-password-needed' },
    });
    expect(await client.ask('artwork:import', { file, box: 'crop', password: 'wrong' })).toMatchObject({
      problem: { code: 'pdf-password-wrong' },
    });
    const facts = await client.reply('artwork:import', { file, box: 'crop', password: 'alder-417' });
    const window = { xMm: 0, yMm: 0, widthMm: 50, heightMm: 50 };
    expect(
      (await client.ask('artwork:picture', { reference: facts.reference, page: 1, window, widthPx: 20 })).ok,
    ).toBe(true);
    await services.close();
    for (const name of readdirSync(at('archive'), { recursive: true, encoding: 'utf8' })) {
      if (!/\.sqlite/.test(name)) continue;
      expect(readFileSync(at('archive', name)).includes('alder-417')).toBe(false);
    }
    services = await start();
  });
});

describe('a job', () => {
  it('opens as it was saved, in a later session too', async () => {
    const { job } = await savedJob({ notes: 'as left' });
    await services.close();
    services = await start();
    client = new ServiceClient(services);
    expect(await client.reply('job:open', { id: job.id })).toEqual({ job, revision: 1 });
  });

  it('is saved, opened, listed and copied without a process for heavy work', async () => {
    const started: unknown[] = [];
    const tasks = () =>
      new ProcessTasks(() => {
        started.push(undefined);
        return forkTaskProcess();
      });
    const light = await testServices(at('light'), { tasks });
    const asked = new ServiceClient(light);
    const { artwork: _, ...job } = smallJob();
    await asked.reply('job:save', { job, baseRevision: 0 });
    await asked.reply('job:duplicate', { id: job.id, number: 'SJ-8' });
    await asked.reply('job:open', { id: job.id });
    await asked.reply('rolls:films', { jobIds: [job.id] });
    await asked.reply('output:list', { jobId: job.id });
    expect(await asked.reply('job:list', {})).toMatchObject({ total: 2 });
    expect(started).toHaveLength(0);
    await asked.reply('production:derive', { job });
    expect(started).toHaveLength(1);
    await light.close();
  });

  it('open in one window can be read in another, not overwritten', async () => {
    const { job, revision } = await savedJob();
    const other = new ServiceClient(services, 'client-2');
    expect(await other.reply('job:open', { id: job.id })).toMatchObject({ lockedBy: 'another-window' });
    const late = await other.ask('job:save', { job: { ...job, name: 'theirs' }, baseRevision: revision });
    expect(late).toMatchObject({ problem: { code: 'job-open-elsewhere' } });
    await client.reply('job:close', { id: job.id });
    expect(await other.reply('job:open', { id: job.id })).not.toHaveProperty('lockedBy');
    services.releaseClient('client-2');
    expect(await client.reply('job:open', { id: job.id })).not.toHaveProperty('lockedBy');
  });

  it('saved from an old revision changes nothing', async () => {
    const { job } = await savedJob();
    await client.reply('job:save', { job: { ...job, name: 'second' }, baseRevision: 1 });
    const late = await client.ask('job:save', { job: { ...job, name: 'late' }, baseRevision: 1 });
    expect(late).toMatchObject({ problem: { code: 'job-changed-elsewhere' } });
    expect((await client.reply('job:open', { id: job.id })).job.name).toBe('second');
  });

  it('is duplicated without its acknowledgements and history', async () => {
    const { job } = await savedJob({ acknowledgements: [{ finding: 'x', by: 'A', note: 'n' }] });
    const copy = await client.reply('job:duplicate', { id: job.id, number: 'SJ-8' });
    const opened = await client.reply('job:open', { id: copy.id });
    expect(opened.job).toEqual({ ...job, id: copy.id, number: 'SJ-8', acknowledgements: [] });
    expect(await client.reply('output:list', { jobId: copy.id })).toEqual([]);
  });

  it('travels as one file, artwork included, and asks where it meets the job or its number', async () => {
    const { job } = await savedJob();
    const { fileName } = await client.reply('job:export', {
      id: job.id,
      folder: client.chosenFolder(folder),
    });
    const bundle = at(fileName);
    const changed = { ...job, name: 'Changed since' };
    await client.reply('job:save', { job: changed, baseRevision: 1 });
    const file = client.chosenFile(bundle);
    const { number, name, customer } = job;
    expect(await client.reply('job:import', { file })).toMatchObject({
      state: 'there-already',
      there: { id: job.id, number, name: 'Changed since' },
      arriving: { number, name, customer },
      freeNumber: 'SJ-7-2',
    });
    expect((await client.reply('job:open', { id: job.id })).job).toEqual(changed);
    const keepBoth = async (as: string) =>
      await client.ask('job:import', { file, choice: { kind: 'keep-both', number: as } });
    expect(await keepBoth(' sj-7')).toMatchObject({ problem: { code: 'job-number-taken' } });
    const second = await keepBoth('SJ-8');
    if (!second.ok || second.value.state !== 'imported') throw new Error('not imported');
    const { id } = second.value.job;
    expect(id).not.toBe(job.id);
    expect((await client.reply('job:open', { id })).job).toEqual({ ...job, id, number: 'SJ-8' });
    // Not while another window edits what would be replaced.
    const other = new ServiceClient(services, 'client-2');
    const replace = { file: other.chosenFile(bundle), choice: { kind: 'replace' } } as const;
    expect(await other.ask('job:import', replace)).toMatchObject({ problem: { code: 'job-open-elsewhere' } });
    await client.reply('job:close', { id: job.id });
    expect(await other.reply('job:import', replace)).toMatchObject({
      state: 'imported',
      job: { id: job.id },
    });
    expect((await client.reply('job:open', { id: job.id })).job).toEqual(job);

    await services.close();
    rmSync(at('archive'), { recursive: true });
    services = await start();
    client = new ServiceClient(services);
    const elsewhere = await client.reply('job:import', { file: client.chosenFile(bundle) });
    expect(elsewhere).toMatchObject({ state: 'imported', job: { id: job.id } });
    expect((await client.ask('artwork:facts', { reference: job.artwork! })).ok).toBe(true);
  });

  it('has a thumbnail of its first side, and of its first page before it has one', async () => {
    const { job, revision } = await savedJob();
    const height = async () => (await client.reply('job:thumbnail', { id: job.id }))?.heightPx;
    // 310 × 130 mm of a page of 320 × 140 mm, both 320 pixels wide.
    expect(await height()).toBe(134);
    await client.reply('job:save', { job: { ...job, sides: [] }, baseRevision: revision });
    expect(await height()).toBe(140);
  });
});

describe('output', () => {
  it('is written with progress, listed, shown, and reprinted byte for byte', async () => {
    const { job } = await savedJob();
    const { output: run } = await client.reply('output:write', {
      jobId: job.id,
      folder: client.chosenFolder(at('out')),
      sheets: ['map', 'table'],
    });
    expect(run.folder).toBe(at('out', 'SJ-7', 'output-1'));
    expect(run.files.map(({ name }) => name)).toEqual([
      'panels/SJ-7_LH-01.pdf',
      'panels/SJ-7_LH-02.pdf',
      'SJ-7_map.pdf',
      'SJ-7_panels.csv',
      'manifest.json',
    ]);
    expect(client.progress.map(({ what }) => what)).toEqual(
      expect.arrayContaining(['Cutting 2 panels', 'Drawing the sheets']),
    );
    // The bytes that went by are a share to people.
    for (const { what, done, total } of client.progress) {
      expect(done).toBeLessThanOrEqual(total);
      if (what === 'Cutting 2 panels') expect(total).toBe(1);
    }
    expect((await client.reply('output:list', { jobId: job.id })).map(({ id }) => id)).toEqual([run.id]);
    const page = await client.reply('output:picture', {
      outputId: run.id,
      name: 'SJ-7_map.pdf',
      page: 1,
      widthPx: 200,
    });
    expect(page?.widthPx).toBe(200);
    expect(
      await client.reply('output:picture', {
        outputId: run.id,
        name: '../archive.sqlite',
        page: 1,
        widthPx: 9,
      }),
    ).toBeNull();

    const reprint = await client.reply('output:reprint', {
      outputId: run.id,
      panelLabels: ['LH-02'],
      reason: 'scratched',
      folder: client.chosenFolder(at('out')),
      sheets: ['ticket', 'labels'],
    });
    expect(reprint.differences).toEqual([]);
    expect(reprint.remarks).toEqual([`Print from ${at('out', 'SJ-7', 'current')}.`]);
    expect(reprint.output.files.map(({ name }) => name)).toEqual([
      'panels/SJ-7_LH-02.pdf',
      'SJ-7_ticket.pdf',
      'SJ-7_labels.pdf',
      'manifest.json',
    ]);
    const again = readFileSync(join(reprint.output.folder, 'panels/SJ-7_LH-02.pdf'));
    expect(again.equals(readFileSync(join(run.folder, 'panels/SJ-7_LH-02.pdf')))).toBe(true);
  });

  it('that is cancelled leaves nothing and no run', async () => {
    const { job } = await savedJob();
    const abort = new AbortController();
    const asked = client.ask(
      'output:write',
      { jobId: job.id, folder: client.chosenFolder(at('out')), sheets: ['map'] },
      abort.signal,
    );
    abort.abort();
    expect(await asked).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
    expect(existsSync(at('out'))).toBe(false);
    expect(await client.reply('output:list', { jobId: job.id })).toEqual([]);
  });

  it('shows the map before it is written', async () => {
    const { job } = await savedJob();
    const { pageCount, picture } = await client.reply('sheet:preview', {
      job,
      kind: 'map',
      page: 1,
      widthPx: 300,
    });
    expect(pageCount).toBeGreaterThanOrEqual(1);
    expect(picture.widthPx).toBe(300);
  });

  it('needs an artwork', async () => {
    const job = smallJob();
    await client.reply('job:save', { job, baseRevision: 0 });
    const asked = await client.ask('output:write', {
      jobId: job.id,
      folder: client.chosenFolder(at('out')),
      sheets: [],
    });
    expect(asked).toMatchObject({ problem: { code: 'artwork-none' } });
  });
});

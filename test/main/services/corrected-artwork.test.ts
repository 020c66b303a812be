import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { cmyk, PDFDocument } from 'pdf-lib';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { ArtworkReference, Job } from '../../../core/job/schema.ts';
import { compareKeptArtworks } from '../../../main/services/compare-artworks.ts';
import type { Services } from '../../../main/services/services.ts';
import { tasksInPlace } from '../../../main/tasks/tasks-in-place.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';
import { TEST_NOW, testServices } from '../../support/test-services.ts';

let folder: string;
let opened: Services[];
const at = (...names: string[]) => join(folder, ...names);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-corrected-'));
  opened = [];
  const before = await smallArtwork();
  const corrected = await PDFDocument.load(before);
  corrected.getPage(0).drawRectangle({ x: 700, y: 300, width: 60, height: 30, color: cmyk(0, 1, 1, 0) });
  writeFileSync(at('art.pdf'), before);
  writeFileSync(at('corrected.pdf'), await corrected.save());
});
afterEach(async () => {
  for (const services of opened) await services.close();
  rmSync(folder, { recursive: true });
});

async function clientOf(archive: string): Promise<ServiceClient> {
  const services = await testServices(at(archive));
  opened.push(services);
  return new ServiceClient(services);
}

async function imported(client: ServiceClient, name: string): Promise<ArtworkReference> {
  const facts = await client.reply('artwork:import', { file: client.chosenFile(at(name)), box: 'crop' });
  return facts.reference;
}

async function savedJob(client: ServiceClient): Promise<Job> {
  const job = { ...smallJob(), artwork: await imported(client, 'art.pdf') };
  await client.reply('job:save', { job, baseRevision: 0 });
  return job;
}

async function bundleOf(client: ServiceClient, { id }: Job): Promise<string> {
  const { fileName } = await client.reply('job:export', { id, folder: client.chosenFolder(folder) });
  return at(fileName);
}

it('travels with its comparison, so that another archive knows which panels are still good', async () => {
  const designer = await clientOf('designer');
  const job = await savedJob(designer);
  const printer = await clientOf('printer');
  await printer.reply('job:import', { file: printer.chosenFile(await bundleOf(designer, job)) });
  await printer.reply('output:write', {
    jobId: job.id,
    folder: printer.chosenFolder(at('out')),
    sheets: [],
    isVerified: false,
  });

  const after = await imported(designer, 'corrected.pdf');
  const compared = await designer.reply('artwork:compare', { job, after });
  await designer.reply('job:save', { job: { ...job, artwork: after }, baseRevision: 1 });
  const file = printer.chosenFile(await bundleOf(designer, job));
  await printer.reply('job:import', { file, choice: { kind: 'replace' } });

  expect(await printer.reply('artwork:comparisons', { jobId: job.id })).toEqual([compared]);
  const [output] = await printer.reply('output:panels', { jobId: job.id });
  const stillGood = output?.panels.filter(({ goodFor }) =>
    goodFor?.some(({ sha256 }) => sha256 === after.sha256),
  );
  expect(stillGood?.map(({ label }) => label)).toEqual(['LH-01']);
  const elsewhere = await clientOf('elsewhere');
  await elsewhere.reply('job:import', { file: elsewhere.chosenFile(at('SJ-7-2.pwjob')) });
  expect((await elsewhere.ask('artwork:facts', { reference: compared.before })).ok).toBe(true);
});

it('is compared with progress panel by panel, and canceling keeps nothing of it', async () => {
  const client = await clientOf('archive');
  const job = await savedJob(client);
  const after = await imported(client, 'corrected.pdf');
  for (const services of opened.splice(0)) await services.close();
  const archive = await testArchive(at('archive'));
  const compare = async (onStep: (what: string) => void, signal: AbortSignal) =>
    await compareKeptArtworks(
      { archive, work: tasksInPlace, now: () => TEST_NOW },
      { job, after },
      () => undefined,
      { signal, report: ({ what, done, total }) => onStep(`${what}: ${done} of ${total}`) },
    );
  try {
    const abort = new AbortController();
    const seen: string[] = [];
    const canceled = await compare((step) => {
      seen.push(step);
      if (step.startsWith('Comparing LH-01')) abort.abort();
    }, abort.signal);
    expect(canceled).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
    expect(seen.at(-1)).toBe('Comparing LH-01: 0 of 2');
    expect(await archive.comparisons.list(job.id)).toEqual([]);

    const steps: string[] = [];
    const compared = await compare((step) => steps.push(step), new AbortController().signal);
    expect(compared.ok).toBe(true);
    expect(steps).toEqual(expect.arrayContaining(['Comparing LH-01: 0 of 2', 'Comparing LH-02: 1 of 2']));
    expect(await archive.comparisons.list(job.id)).toHaveLength(1);
  } finally {
    await archive.close();
  }
});

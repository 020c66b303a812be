/** Saves and deletions that are refused, because they break rules or another user has the job open. */
import { mkdtempSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Services } from '../../../main/services/services.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { TEST_NOW, testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;
let client: ServiceClient;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-refused-saves-'));
  services = await testServices(join(folder, 'archive'));
  client = new ServiceClient(services);
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

it('a job that breaks rules is refused, and what was saved stays', async () => {
  await client.reply('job:save', { job: smallJob(), baseRevision: 0 });
  const [side] = smallJob().sides;
  const twice = { ...smallJob(), sides: [side!, { ...side!, id: 'another' }] };
  expect(await client.ask('job:save', { job: twice, baseRevision: 1 })).toMatchObject({
    ok: false,
    problem: { code: 'side-code-twice' },
  });
  expect(await client.reply('job:open', { id: 'small-job' })).toMatchObject({ revision: 1, job: smallJob() });
});

it('a job is deleted after its window has left it, with all that only it had', async () => {
  writeFileSync(join(folder, 'art.pdf'), await smallArtwork());
  const { reference } = await client.reply('artwork:import', {
    file: client.chosenFile(join(folder, 'art.pdf')),
    box: 'trim',
  });
  const long = new Date(Date.parse(TEST_NOW) - 7_200_000);
  utimesSync(await services.archive.vault.path(reference.sha256), long, long);
  await client.reply('job:save', { job: smallJob({ artwork: reference }), baseRevision: 0 });
  const other = new ServiceClient(services, 'client-2');
  const ids = ['small-job'];
  expect(await other.ask('job:delete', { ids })).toMatchObject({
    ok: false,
    problem: { code: 'job-open-elsewhere' },
  });
  services.releaseClient('client-1');
  const found = { jobs: 1, outputs: 0, files: 1, bytes: reference.sizeBytes };
  expect(await other.reply('job:deletion', { ids })).toEqual(found);
  expect(await other.reply('job:list', {})).toMatchObject({ total: 1 });
  expect(await other.reply('job:delete', { ids })).toEqual(found);
  expect(await other.reply('job:list', {})).toEqual({ jobs: [], total: 0 });
  const gone = await other.ask('artwork:facts', { reference, isBrief: true });
  expect(gone).toMatchObject({ ok: false, problem: { code: 'artwork-absent' } });
  expect(await other.reply('archive:unused', {})).toMatchObject({ files: 0 });
});

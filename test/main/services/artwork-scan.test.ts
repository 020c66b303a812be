import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Services } from '../../../main/services/services.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;
let client: ServiceClient;
const at = (...names: string[]) => join(folder, ...names);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-scan-'));
  services = await testServices(at('archive'));
  client = new ServiceClient(services);
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

describe('the scan of an artwork', () => {
  it('comes with its facts, once it is asked for in full', async () => {
    // An artwork of its own: what was looked through once in this process is not looked through again.
    writeFileSync(at('art.pdf'), Buffer.concat([await smallArtwork(2), Buffer.from('% scan\n')]));
    const pages = await client.reply('artwork:import', {
      file: client.chosenFile(at('art.pdf')),
      box: 'crop',
    });
    const { reference } = pages;
    const facts = await client.reply('artwork:facts', { reference });
    expect(facts.scan?.pages.map(({ spaces }) => spaces.map(({ label }) => label))).toEqual([
      ['DeviceCMYK', 'DeviceGray'],
      ['DeviceCMYK', 'DeviceGray'],
    ]);
    expect(client.progress.map(({ what }) => what)).toContain('Checking page 2 of the artwork');
    const { scan: _, ...others } = facts;
    expect(others).toEqual(pages);
    expect(await client.reply('artwork:facts', { reference, isBrief: true })).toEqual(pages);
  });

  it('keeps panels from being written while a warning waits', async () => {
    const content = '1 0.2 0 rg 0 0 908 397 re f';
    writeFileSync(at('art.pdf'), rawPdf({ page: '/MediaBox [0 0 908 397]', content }));
    const facts = await client.reply('artwork:import', {
      file: client.chosenFile(at('art.pdf')),
      box: 'crop',
    });
    const job = { ...smallJob(), artwork: facts.reference };
    await client.reply('job:save', { job, baseRevision: 0 });
    const request = { jobId: job.id, folder: client.chosenFolder(at('out')), sheets: [] };
    const blocked = await client.ask('output:write', request);
    expect(blocked).toMatchObject({ ok: false, problem: { code: 'output-blocked' } });
    const acknowledgements = [{ finding: 'color-rgb/left////1/', by: 'Prepress', note: 'agreed' }];
    await client.reply('job:save', { job: { ...job, acknowledgements }, baseRevision: 1 });
    const { output } = await client.reply('output:write', {
      ...request,
      folder: client.chosenFolder(at('out')),
    });
    expect(output.files.filter(({ kind }) => kind === 'panel')).toHaveLength(2);
  });
});

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { seamMove } from '../../../core/job/edits/edits.ts';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { panelsStillGood } from '../../../core/output/older-outputs.ts';
import { panelsStanding } from '../../../core/output/panels-standing.ts';
import type { Services } from '../../../main/services/services.ts';
import { edited } from '../../core/job/sample-job.ts';
import { commandLine } from '../../support/command-line.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;
let client: ServiceClient;
const at = (...names: string[]) => join(folder, ...names);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-in-use-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  services = await testServices(at('archive'));
  client = new ServiceClient(services);
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

async function write(job: Job, panelIds?: string[]): Promise<void> {
  await client.reply('output:write', {
    jobId: job.id,
    folder: client.chosenFolder(at('out')),
    ...(panelIds && { panelIds }),
    sheets: [],
    isVerified: false,
  });
}

/** What the check says of outputs, as it is typed. */
async function olderOutputs(job: Job, wanted = 'output-of-older-layout'): Promise<readonly string[]> {
  writeFileSync(at('job.json'), jobToJson(job));
  const { out } = await commandLine(['--archive', at('archive'), '--json', 'check', at('job.json')]);
  const { findings } = JSON.parse(out) as { findings: { code: string; message: string }[] };
  return findings.filter(({ code }) => code === wanted).map(({ message }) => message);
}

describe('outputs that were cut before a seam moved', () => {
  it('LIN10 are told with their panels, until these are written again', async () => {
    const { reference } = await client.reply('artwork:import', {
      file: client.chosenFile(at('art.pdf')),
      box: 'crop',
    });
    const job = { ...smallJob(), artwork: reference };
    const { revision } = await client.reply('job:save', { job, baseRevision: 0 });
    await write(job);
    expect(await olderOutputs(job)).toEqual([]);

    const moved = edited(seamMove(job, { sideId: 'left', seamId: 's1', atMm: 1370 }));
    await client.reply('job:save', { job: moved, baseRevision: revision });
    const listed = await olderOutputs(moved);
    expect(listed).toEqual([
      'Output 1 was cut before the panel layout changed: LH-01 and LH-02 are of another outline now.',
    ]);
    await write(moved, ['p1']);
    expect(await olderOutputs(moved)).toEqual([
      'Output 1 was cut before the panel layout changed: LH-02 is of another outline now.',
    ]);
    await write(moved, ['p2']);
    expect(await olderOutputs(moved)).toEqual([]);
    // Back where it was, the first output fits again, but others were printed since.
    expect(await olderOutputs(job)).toEqual([
      'Output 3 was cut before the panel layout changed: LH-02 is of another outline now.',
      'Output 2 was cut before the panel layout changed: LH-01 is of another outline now.',
    ]);
  });
});

it('tells panels of a side that was moved on its page since, which are not still good', async () => {
  const { reference } = await client.reply('artwork:import', {
    file: client.chosenFile(at('art.pdf')),
    box: 'crop',
  });
  const job = { ...smallJob(), artwork: reference };
  await client.reply('job:save', { job, baseRevision: 0 });
  await write(job);
  expect(await olderOutputs(job, 'output-of-older-artwork')).toEqual([]);
  const [side] = job.sides;
  const { xMm, ...rect } = side!.artworkRect;
  const moved: Job = { ...job, sides: [{ ...side!, artworkRect: { xMm: xMm + 2, ...rect } }] };
  expect(await olderOutputs(moved, 'output-of-older-artwork')).toEqual([
    'Output 1 was cut before a side was moved on its artwork page: LH-01 and LH-02 show another part of the artwork now.',
  ]);
  const cut = await client.reply('output:panels', { jobId: job.id });
  const panels = jobLayout(moved).flatMap((layout) => layout.panels);
  expect([...panelsStillGood(moved, panels, cut)]).toEqual([]);
  expect([...panelsStillGood(job, panels, cut)].toSorted()).toEqual(['p1', 'p2']);
  const files = panels.map(({ id, label }) => ({ panelId: id, panelLabel: label }));
  expect(panelsStanding({ job: moved, panels }, { number: 1, files }, cut)).toEqual([
    'LH-01 and LH-02: of another place of the side on its artwork page',
  ]);
});

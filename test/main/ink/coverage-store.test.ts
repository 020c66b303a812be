import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PDFDocument } from 'pdf-lib';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { MeasuredCoverage } from '../../../core/production/job-coverage.ts';
import { CoverageStore } from '../../../main/ink/coverage-store.ts';
import type { Services } from '../../../main/services/services.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;
let job: Job;
const at = (...names: string[]) => join(folder, ...names);
const keptIn = () => at('archive', 'previews', 'v2', `${job.artwork!.sha256}-crop`, 'coverage.json');
const measured = async (of: Job): Promise<MeasuredCoverage> =>
  await new ServiceClient(services, 'later').reply('ink:measure', { job: of });

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-coverage-'));
  services = await testServices(at('archive'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  const client = new ServiceClient(services, 'first');
  const file = client.chosenFile(at('art.pdf'));
  const { reference } = await client.reply('artwork:import', { file, box: 'crop' });
  job = smallJob({ artwork: reference });
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

/** Writes another figure where the first panel's mean is kept. */
function forge(meanPercent: number): void {
  const kept = JSON.parse(readFileSync(keptIn(), 'utf8'));
  kept[0].panels[0].coverage.meanPercent = meanPercent;
  writeFileSync(keptIn(), JSON.stringify(kept));
}

describe('computed coverage', () => {
  it('is there at once in a later session, from what was kept', async () => {
    const first = await measured(job);
    expect(first.panels).toHaveLength(2);
    await services.close();
    services = await testServices(at('archive'));
    expect(await measured(job)).toEqual(first);
    forge(12.5);
    expect((await measured(job)).panels[0]!.meanPercent).toBe(12.5);
  });

  it('is that of the side for a panel by itself, as a reprint has it', async () => {
    const { panels } = await measured(job);
    const [layout] = jobLayout(job);
    const store = new CoverageStore(at('archive'));
    const alone = { ...layout!, panels: layout!.panels.slice(1) };
    expect(await store.panels(job.artwork!, alone, job.scale)).toEqual([panels[1]]);
    const moved = layout!.panels.map((panel) => ({ ...panel, printed: { ...panel.printed, x: 3 } }));
    expect(await store.panels(job.artwork!, { ...layout!, panels: moved }, job.scale)).toBeUndefined();
  });

  it('is not kept of artwork that needs a password', async () => {
    const document = await PDFDocument.load(await smallArtwork());
    document.encrypt({ userPassword: 'rowan-417', ownerPassword: 'owner-417' });
    writeFileSync(at('locked.pdf'), await document.save());
    const client = new ServiceClient(services, 'first');
    const file = client.chosenFile(at('locked.pdf'));
    const { reference } = await client.reply('artwork:import', { file, box: 'crop', password: 'rowan-417' });
    job = smallJob({ artwork: reference });
    expect((await measured(job)).panels).toHaveLength(2);
    expect(existsSync(keptIn())).toBe(false);
  });

  it('is computed anew for other windows of the artwork, and where what was kept is damaged', async () => {
    const first = await measured(job);
    forge(12.5);
    const [side] = job.sides;
    const moved: Job = {
      ...job,
      sides: [{ ...side!, artworkRect: { ...side!.artworkRect, xMm: 25, widthMm: 290 } }],
    };
    const other = await measured(moved);
    expect(other.panels[0]!.meanPercent).not.toBe(12.5);
    expect(other.panels[0]!.meanPercent).not.toBe(first.panels[0]!.meanPercent);
    expect((await measured({ ...job, notes: 'mind the ladder' })).panels[0]!.meanPercent).toBe(12.5);
    writeFileSync(keptIn(), '[{"key":');
    expect(await measured(job)).toEqual(first);
    expect(JSON.parse(readFileSync(keptIn(), 'utf8'))).toHaveLength(1);
  });
});

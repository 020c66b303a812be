import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { Manifest } from '../../../core/output/manifest.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import type { Services } from '../../../main/services/services.ts';
import { commandLine } from '../../support/command-line.ts';
import { pdfiumPicture } from '../../support/pdfium.ts';
import type { Picture } from '../../support/picture.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;
let client: ServiceClient;
const at = (...names: string[]) => join(folder, ...names);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-patches-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  services = await testServices(at('archive'));
  client = new ServiceClient(services);
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

async function writtenJob(over: Partial<Job> = {}): Promise<{ job: Job; outputId: number }> {
  const imported = await client.reply('artwork:import', {
    file: client.chosenFile(at('art.pdf')),
    box: 'crop',
  });
  const job = { ...smallJob(over), artwork: imported.reference };
  await client.reply('job:save', { job, baseRevision: 0 });
  const { output } = await client.reply('output:write', {
    jobId: job.id,
    folder: client.chosenFolder(at('out')),
    sheets: ['table'],
  });
  return { job, outputId: output.id };
}

const manifestIn = (path: string): Manifest =>
  Manifest.parse(JSON.parse(readFileSync(join(path, 'manifest.json'), 'utf8')));

const DAMAGE = { xMm: 2000, yMm: 500, widthMm: 90, heightMm: 70 };

/** The color at a place of the side, in a panel drawn at one pixel a finished mm. */
function colorAt(picture: Picture, panel: Manifest['panels'][number], x: number, y: number): number[] {
  const { filmBox } = panel;
  const column = Math.floor(((x - filmBox.xMm) / filmBox.widthMm) * picture.width);
  const row = Math.floor(((y - filmBox.yMm) / filmBox.heightMm) * picture.height);
  const from = (row * picture.width + column) * 4;
  return [...picture.data.subarray(from, from + 3)];
}

describe('a patch of a panel of an output', () => {
  it('PAT1 has the pixels of its panel, is verified, kept, numbered, and not among the panels to print', async () => {
    // Across the black line of the artwork.
    const damage = { xMm: 2000, yMm: 400, widthMm: 120, heightMm: 120 };
    const { job, outputId } = await writtenJob();
    const order = { outputId, panelLabel: 'LH-02', damage, reason: 'Forklift' };
    const plan = await client.reply('patch:plan', { outputId, panelLabel: 'LH-02', damage });
    expect(plan.label).toBe('LH-02 patch 1');
    const { output } = await client.reply('output:patch', {
      ...order,
      folder: client.chosenFolder(at('out')),
    });
    expect(output.verification.state).toBe('verified');
    expect(output).toMatchObject({ kind: 'reprint', reprintOf: 1, number: 2 });
    const manifest = manifestIn(output.folder);
    const [patch] = manifest.panels;
    expect(patch).toMatchObject({
      label: 'LH-02 patch 1',
      finishedBox: plan.finishedBox,
      patch: { of: 'p2' },
    });
    const first = manifestIn(at('out', 'SJ-7', 'output-1'));
    const panel = first.panels.find(({ label }) => label === 'LH-02')!;
    const [ours, theirs] = await Promise.all([
      pdfiumPicture(readFileSync(join(output.folder, patch!.file)), { ppi: 25.4 }),
      pdfiumPicture(readFileSync(at('out', 'SJ-7', 'output-1', panel.file)), { ppi: 25.4 }),
    ]);
    const colors = new Set<string>();
    const { xMm, yMm, widthMm, heightMm } = patch!.printedBox;
    let far = 0;
    let count = 0;
    for (let x = xMm + 2; x < xMm + widthMm - 2; x += 3) {
      for (let y = yMm + 2; y < yMm + heightMm - 2; y += 3) {
        const [a, b] = [colorAt(ours, patch!, x, y), colorAt(theirs, panel, x, y)];
        colors.add(a.map((value) => value >> 4).join());
        count += 1;
        if (a.some((value, i) => Math.abs(value - b[i]!) > 24)) far += 1;
      }
    }
    expect(colors.size).toBeGreaterThan(1);
    // Edges of the line fall on other pixels of the two pages.
    expect(far / count).toBeLessThan(0.05);
    expect(readdirSync(at('out', 'SJ-7', 'current', 'panels')).some((name) => name.includes('patch'))).toBe(
      false,
    );
    // A second one counts on; the checks do not take it for a panel of an older layout.
    expect((await client.reply('patch:plan', { outputId, panelLabel: 'LH-02', damage: DAMAGE })).label).toBe(
      'LH-02 patch 2',
    );
    const inUse = await client.reply('output:panels', { jobId: job.id });
    expect(JSON.stringify(inUse)).not.toContain('patch');
  });

  it('says in one sentence what cannot be patched', async () => {
    const { outputId } = await writtenJob();
    const problemOf = async (panelLabel: string) => {
      const answer = await client.ask('patch:plan', { outputId, panelLabel, damage: DAMAGE });
      return answer.ok ? 'no problem' : answer.problem.message;
    };
    expect(await problemOf('LH-01')).toBe('The damage lies outside panel LH-01.');
    expect(await problemOf('LH-09')).toBe('Output 1 wrote no panel LH-09.');
  });

  it('is written by the command line with its sheet, and bad figures write nothing', async () => {
    await writtenJob();
    const command = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);
    const order = ['patch', 'SJ-7', '1', '--panel', 'LH-02', '--reason', 'Hail', '--to', at('patched')];
    const bad = await command(...order, '--damage', '2000, 500, 90');
    expect(bad.code).not.toBe(EXIT.done);
    expect(bad.err).toContain('is not the four lengths of a damage');
    const outside = await command(...order, '--damage', '10, 10, 20, 20');
    expect(outside.err).toContain('The damage lies outside panel LH-02.');
    expect(existsSync(at('patched', 'SJ-7'))).toBe(false);
    const good = await command(...order, '--damage', '2 m, 500, 9 cm, 70');
    expect(good.err).toBe('');
    expect(good.code).toBe(EXIT.done);
    expect(good.out).toContain('LH-02 patch 1');
    expect(good.out).toContain('Verified');
    const files = readdirSync(at('patched', 'SJ-7'), { recursive: true }).map(String);
    for (const name of ['SJ-7_LH-02-patch-1.pdf', 'SJ-7_patch.pdf', 'SJ-7_ticket.pdf', 'SJ-7_labels.pdf'])
      expect(files.some((file) => file.endsWith(name))).toBe(true);
  });
});

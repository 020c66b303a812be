/** What a person can ask for is one and the same act, whether a screen asks or the command line. */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PDFDocument } from 'pdf-lib';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { SELECTED_SHEETS } from '../../../core/output/sheet-kind.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import type { Services } from '../../../main/services/services.ts';
import { commandLine } from '../../support/command-line.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;
let client: ServiceClient;
const at = (...names: string[]) => join(folder, ...names);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-acts-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  services = await testServices(at('archive'));
  client = new ServiceClient(services);
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

/** The texts of each page, in the order in which they are painted. */
async function textsOfPages(path: string): Promise<string[][]> {
  const document = await getDocument({ data: new Uint8Array(readFileSync(path)) }).promise;
  const pages: string[][] = [];
  for (let page = 1; page <= document.numPages; page++) {
    const { items } = await (await document.getPage(page)).getTextContent();
    pages.push(items.flatMap((item) => ('str' in item && item.str.trim() !== '' ? [item.str] : [])));
  }
  await document.loadingTask.destroy();
  return pages;
}

const command = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);
const importArt = (password?: string) =>
  client.reply('artwork:import', {
    file: client.chosenFile(at('art.pdf')),
    box: 'crop',
    ...(password !== undefined && { password }),
  });

async function savedJob(over: Partial<Job> = {}, password?: string): Promise<Job> {
  const job = { ...smallJob(over), artwork: (await importArt(password)).reference };
  await client.reply('job:save', { job, baseRevision: 0 });
  return job;
}

describe('writing an output', () => {
  it('gives the same files, findings’ verdict and verification on the command line as on the screen', async () => {
    const job = await savedJob();
    writeFileSync(at('job.json'), jobToJson(job));
    const cut = await command(
      ...['cut', at('job.json'), '--to', at('commanded'), '--sheets', SELECTED_SHEETS.join(',')],
    );
    expect(cut.err).toBe('');
    expect(cut.code).toBe(EXIT.done);
    const { output, remarks } = await client.reply('output:write', {
      jobId: job.id,
      folder: client.chosenFolder(at('shown')),
      sheets: [...SELECTED_SHEETS],
    });
    expect(remarks).toEqual([`Print from ${at('shown', 'SJ-7', 'current')}.`]);
    const [first, second] = await client.reply('output:list', { jobId: job.id });
    expect(first!.files.length).toBeGreaterThan(8);
    // Sheets carry the number of their output, and the manifest too; all else is the same byte for byte.
    const unnumbered = ({ files }: typeof first & {}) =>
      files.map(({ name, kind, sha256 }) => [name, kind === 'panel' || kind === 'table' ? sha256 : kind]);
    expect(unnumbered(first!)).toEqual(unnumbered(second!));
    expect({ ...first, files: [] }).toEqual({
      ...second,
      files: [],
      id: first!.id,
      number: first!.number,
      at: first!.at,
      folder: at('commanded', 'SJ-7', 'output-1'),
    });
    expect(second).toMatchObject({ id: output.id, verification: { state: 'verified' } });
  });

  it('writes the sheets that were shown before, with what the artwork has against it', async () => {
    const content = '1 0.2 0 rg 0 0 908 397 re f';
    writeFileSync(at('art.pdf'), rawPdf({ page: '/MediaBox [0 0 908 397]', content }));
    const acknowledgements = [{ finding: 'color-rgb/left////1/', by: 'Prepress', note: 'agreed' }];
    writeFileSync(at('job.json'), jobToJson(await savedJob({ acknowledgements })));
    await command('cut', at('job.json'), '--to', at('cut'), '--sheets', 'ticket,map', '--no-verification');
    await command('sheets', at('job.json'), '--to', at('sheets'), '--sheets', 'ticket,map');
    for (const name of ['SJ-7_ticket.pdf', 'SJ-7_map.pdf']) {
      const alone = await textsOfPages(at('sheets', 'SJ-7', 'sheets-1', name));
      const ofOutput = await textsOfPages(at('cut', 'SJ-7', 'output-1', name));
      // All equal, except for the number of the output in the title block of each page.
      expect(alone.length, name).toBeGreaterThan(0);
      for (const [page, texts] of ofOutput.entries()) {
        expect(texts.toSpliced(texts.lastIndexOf('Output') + 1, 1), name).toEqual(alone[page]);
      }
    }
  });

  it('tells the screen what there is to say about the files', async () => {
    const job = await savedJob({ output: { ...smallJob().output, files: 'strips' } });
    const { output, remarks } = await client.reply('output:write', {
      jobId: job.id,
      folder: client.chosenFolder(at('out')),
      panelIds: ['p1'],
      sheets: [],
      isVerified: false,
    });
    expect(output.files.map(({ kind }) => kind)).toEqual(['panel', 'manifest']);
    expect(remarks).toEqual([
      'Only some panels were asked for, so each is a file of its own and there are no strips.',
    ]);
  });
});

describe('verifying an output again', () => {
  it('misses what the first verification would miss: a side that is not covered', async () => {
    const job = await savedJob();
    const { output } = await client.reply('output:write', {
      jobId: job.id,
      folder: client.chosenFolder(at('out')),
      sheets: [],
      isVerified: false,
    });
    rmSync(join(output.folder, 'panels', 'SJ-7_LH-02.pdf'));
    expect(await client.reply('output:verify', { outputId: output.id })).toMatchObject({
      verification: { state: 'failed' },
    });
    const report = await client.reply('output:verification', { outputId: output.id });
    expect(report!.faults.map(({ code }) => code).sort()).toEqual(['area-uncovered', 'panel-missing']);
  });
});

describe('reprinting', () => {
  it('from the screen cuts a lost panel of locked artwork with the password that was given', async () => {
    const document = await PDFDocument.load(await smallArtwork());
    document.encrypt({ userPassword: 'alder-417', ownerPassword: 'owner-204' });
    writeFileSync(at('art.pdf'), await document.save());
    const job = await savedJob({}, 'alder-417');
    const { output } = await client.reply('output:write', {
      jobId: job.id,
      folder: client.chosenFolder(at('out')),
      sheets: [],
    });
    const panel = output.files.find(({ panelLabel }) => panelLabel === 'LH-02')!;
    rmSync(await services.archive.vault.path(panel.sha256));
    const reprint = await client.reply('output:reprint', {
      outputId: output.id,
      panelLabels: ['LH-02'],
      reason: 'torn',
      folder: client.chosenFolder(at('out')),
      sheets: [],
    });
    expect(reprint.differences).toEqual([expect.stringContaining('byte-identical to the first')]);
    expect(reprint.output.verification.state).toBe('verified');
    expect(existsSync(join(reprint.output.folder, panel.name))).toBe(true);
  });
});

describe('importing artwork', () => {
  it('reads a file anew that was changed since', async () => {
    const before = await importArt();
    writeFileSync(at('art.pdf'), await smallArtwork(2));
    const after = await importArt();
    expect(after.pages).toHaveLength(2);
    expect(after.reference.sha256).not.toBe(before.reference.sha256);
  });
});

describe('measuring ink', () => {
  it('on the command line, too, is kept for the next time', async () => {
    const job = await savedJob();
    writeFileSync(at('job.json'), jobToJson(job));
    expect((await command('ink', at('job.json'))).code).toBe(EXIT.done);
    const kept = readdirSync(at('archive'), { recursive: true, encoding: 'utf8' });
    const [path] = kept.filter((name) => name.endsWith('coverage.json'));
    expect(readFileSync(at('archive', path!), 'utf8')).toContain('LH-02');
  });
});

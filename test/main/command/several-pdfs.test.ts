import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PDFDict, PDFDocument, PDFHexString, PDFName } from 'pdf-lib';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { sha256Hex } from '../../../main/files/sha256.ts';
import { commandLine } from '../../support/command-line.ts';
import { drawnArtwork, twoSides } from '../../support/compared-artwork.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);
const jobNow = (): Job => JSON.parse(readFileSync(at('job.json'), 'utf8'));

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-several-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const LEFT = { content: 'BT /F 40 Tf 100 30 Td (Library) Tj ET' };
const RIGHT = { content: '0 1 0 0 k 700 300 40 20 re f', ground: '0 0.6 0.7 0 k' };

/** With a layer that is off, although its file switches off only layers that it does not name. */
async function withLayer(bytes: Uint8Array, name: string, isOff: boolean): Promise<Uint8Array> {
  const document = await PDFDocument.load(bytes);
  const { context, catalog } = document;
  const group = context.register(context.obj({ Type: 'OCG', Name: PDFHexString.fromText(name) }));
  const state = isOff ? { BaseState: 'OFF', Order: [group] } : { Order: [group], ON: [group] };
  catalog.set(PDFName.of('OCProperties'), context.obj({ OCGs: [group], D: state }));
  const page = document.getPage(0);
  page.node.Resources()?.set(PDFName.of('Properties'), context.obj({ L: group }));
  const drawn = context.register(context.flateStream('/OC /L BDC 1 0 0 0 k 0 0 50 50 re f EMC'));
  page.node.addContentStream(drawn);
  return await document.save();
}

it('takes one PDF for each side as one artwork, page by page, with layers as they were', async () => {
  const files = {
    'left.pdf': await withLayer(await drawnArtwork([LEFT]), 'Sketch', true),
    'right.pdf': await withLayer(await drawnArtwork([RIGHT]), 'Panel guide', false),
  };
  for (const [name, bytes] of Object.entries(files)) writeFileSync(at(name), bytes);
  writeFileSync(at('job.json'), jobToJson(twoSides()));
  const imported = await run('import', at('left.pdf'), at('right.pdf'), '--job', at('job.json'));
  expect([imported.code, imported.err]).toEqual([EXIT.done, '']);
  const { artwork } = jobNow();
  expect(artwork?.fileName).toBe('left and 1 more.pdf');
  expect(artwork?.files).toEqual(
    Object.entries(files).map(([fileName, bytes]) => ({ fileName, sha256: sha256Hex(bytes), pages: 1 })),
  );
  const { sha256 } = artwork ?? { sha256: '' };
  const kept = await PDFDocument.load(readFileSync(at('archive', 'vault', sha256.slice(0, 2), sha256)));
  expect(kept.getPageCount()).toBe(2);
  const layers = kept.catalog.lookup(PDFName.of('OCProperties'), PDFDict);
  const [sketch, guide] =
    layers
      .lookup(PDFName.of('OCGs'))
      ?.toString()
      .match(/\d+ 0 R/g) ?? [];
  const state = layers.lookup(PDFName.of('D'), PDFDict);
  expect(state.lookup(PDFName.of('OFF'))?.toString()).toBe(`[ ${sketch} ]`);
  expect(state.lookup(PDFName.of('ON'))?.toString()).toBe(`[ ${guide} ]`);
  const again = await run('import', at('right.pdf'), at('left.pdf'), '--job', at('job.json'));
  expect(again.out).toContain('Left side and Right side have changed places');
  expect(again.out).toContain('None of 4 panels has changed.');
  expect(jobNow().sides.map(({ page }) => page)).toEqual([2, 1]);
});

it('refuses a file that is no PDF, and changes nothing', async () => {
  writeFileSync(at('left.pdf'), await drawnArtwork([LEFT]));
  writeFileSync(at('right.pdf'), 'a letter');
  writeFileSync(at('job.json'), jobToJson(twoSides()));
  const before = jobNow();
  const refused = await run('import', at('left.pdf'), at('right.pdf'), '--job', at('job.json'));
  expect(refused.code).not.toBe(EXIT.done);
  expect(refused.err).toContain('right.pdf');
  expect(jobNow()).toEqual(before);
});

describeWithTools(['qpdf'], 'several PDFs, one of them encrypted', () => {
  it('begins a job of them with the password of the one that asks for it', async () => {
    writeFileSync(at('left.pdf'), await drawnArtwork([LEFT]));
    writeFileSync(at('plain.pdf'), await drawnArtwork([RIGHT]));
    runTool('qpdf', ['--encrypt', 'oak', 'elm', '256', '--', at('plain.pdf'), at('right.pdf')]);
    const begin = (...more: string[]) =>
      run(
        'begin',
        at('new.json'),
        '--number',
        'SJ-8',
        '--customer',
        'Library',
        '--scale',
        '10',
        '--artwork',
        at('left.pdf'),
        at('right.pdf'),
        ...more,
      );
    const refused = await begin();
    expect(refused.code).not.toBe(EXIT.done);
    expect(refused.err).toContain('password');
    expect(existsSync(at('new.json'))).toBe(false);
    const wrong = await begin('--password', 'ash');
    expect(wrong.err).toMatch(/password.*different passwords/s);
    const begun = await begin('--password', 'oak');
    expect([begun.code, begun.err]).toEqual([EXIT.done, '']);
    const job: Job = JSON.parse(readFileSync(at('new.json'), 'utf8'));
    expect(job.artwork?.files?.map(({ fileName }) => fileName)).toEqual(['left.pdf', 'right.pdf']);
    expect(job.sides.map(({ page }) => page)).toEqual([1, 2]);
    expect((await run('check', at('new.json'))).err).toBe('');
  });
});

/** The job ticket of an output that is printed strip by strip, as it lies in the folder of the output. */
import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { schemaFaults, xjdfRead } from '../../support/xjdf-check.ts';

const SCHEMA = process.env.PANELWRIGHT_XJDF_SCHEMA ?? '';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-ticket-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

it('names the strips that were written, with their checksums, and the contours that part them', async () => {
  const at = (...names: string[]) => join(folder, ...names);
  writeFileSync(at('art.pdf'), await smallArtwork());
  writeFileSync(at('job.json'), jobToJson(smallJob()));
  const files = [at('job.json'), '--artwork', at('art.pdf'), '--to', at('out')];
  const how = ['--files', 'strips', '--sheets', 'xjdf,cut-contours', '--no-verification'];
  const ended = await commandLine(['--archive', at('archive'), 'cut', ...files, ...how]);
  expect(ended).toMatchObject({ code: 0, err: '' });
  const output = at('out', 'SJ-7', 'output-1');
  const { files: listed, strips } = JSON.parse(readFileSync(join(output, 'manifest.json'), 'utf8')) as {
    files: { file: string; kind: string }[];
    strips: { file: string }[];
  };
  const ticket = listed.find(({ kind }) => kind === 'xjdf')?.file ?? '';
  const text = readFileSync(join(output, ticket), 'utf8');
  const { faults, values } = xjdfRead(text);
  expect(faults).toEqual([]);
  const printed = values('//x:RunList/x:FileSpec', 'URL').map((address) => decodeURIComponent(address));
  expect(printed).toEqual(strips.map(({ file }) => file));
  expect(printed.length).toBeGreaterThan(0);
  const md5 = printed.map((file) =>
    createHash('md5')
      .update(readFileSync(join(output, file)))
      .digest('hex'),
  );
  expect(values('//x:RunList/x:FileSpec', 'CheckSum').map((sum) => sum.toLowerCase())).toEqual(md5);
  const contours = listed.filter(({ kind }) => kind === 'cut-contours');
  expect(contours.length).toBe(3 * strips.length);
  for (const { file } of contours) expect(existsSync(join(output, file)), file).toBe(true);
  if (existsSync(SCHEMA)) expect(schemaFaults(text, readFileSync(SCHEMA))).toEqual([]);
});

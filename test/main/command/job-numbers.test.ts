/** A number belongs to one job of an archive: on saving, on writing, and on importing a bundle. */
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { exportBundle } from '../../../main/services/job-bundle.ts';
import { commandLine } from '../../support/command-line.ts';
import { resultValue } from '../../support/panel-check.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-job-numbers-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
});
afterEach(() => rmSync(folder, { recursive: true }));

function jobFile(name: string, ...of: Parameters<typeof smallJob>): string {
  writeFileSync(at(name), jobToJson(smallJob(...of)));
  return at(name);
}
const numbers = async () =>
  (JSON.parse((await run('--json', 'jobs')).out) as { number: string }[]).map(({ number }) => number);

it('another job with it is not saved, not begun and not cut', async () => {
  const artwork = ['--artwork', at('art.pdf')];
  expect((await run('save', jobFile('first.json'), ...artwork)).code).toBe(EXIT.done);
  const other = jobFile('other.json', { id: 'other', number: ' sj-7', name: 'Other' });
  const taken = /The archive has a job with the number SJ-7 already, “Small job”\./;
  const commands = [
    ['save', other, ...artwork],
    ['cut', other, ...artwork, '--to', at('out')],
    ['begin', at('new.json'), ...artwork, '--number', 'SJ-7', '--customer', 'Ours'],
  ];
  for (const args of commands) {
    const refused = await run(...args);
    expect(refused.err).toMatch(taken);
    expect(refused.code).toBe(EXIT.archive);
  }
  expect([existsSync(at('out')), existsSync(at('new.json'))]).toEqual([false, false]);
  expect(await numbers()).toEqual(['SJ-7']);
  // The job itself may change its number, and another one take it then.
  expect((await run('save', jobFile('first.json', { number: 'SJ-9' }), ...artwork)).code).toBe(EXIT.done);
  expect((await run('save', other, ...artwork)).code).toBe(EXIT.done);
  expect((await run('history', 'sj-9')).out).toContain('SJ-9 has never been written');
});

it('a bundle that meets it stops, replaces, or comes beside it under another number', async () => {
  const elsewhere = await testArchive(at('elsewhere'));
  const save = { panelLabels: [], now: '2026-03-09T10:11:12Z' };
  resultValue(await elsewhere.jobs.save(smallJob({ id: 'far', name: 'From afar' }), save));
  const tools = { signal: new AbortController().signal, report: () => undefined };
  const bundle = at(resultValue(await exportBundle(elsewhere, 'far', folder, tools)).fileName);
  await elsewhere.close();

  expect((await run('save', jobFile('first.json'), '--artwork', at('art.pdf'))).code).toBe(EXIT.done);
  const stopped = await run('import-job', bundle);
  expect(stopped.code).toBe(EXIT.archive);
  expect(stopped.err).toMatch(
    /has job SJ-7, “Small job”, already; nothing was imported\. Add --if-there replace/,
  );
  expect(await numbers()).toEqual(['SJ-7']);
  expect((await run('import-job', bundle, '--if-there', 'keep-both')).out).toContain('Job SJ-7-2 is in');
  expect((await run('import-job', bundle, '--if-there', 'keep-both', '--number', 'AF-1')).out).toContain(
    'Job AF-1',
  );
  expect((await run('import-job', bundle, '--if-there', 'keep-both', '--number', 'af-1')).code).toBe(
    EXIT.archive,
  );
  expect((await numbers()).toSorted()).toEqual(['AF-1', 'SJ-7', 'SJ-7-2']);
  expect((await run('import-job', bundle, '--if-there', 'replace')).code).toBe(EXIT.done);
  const [replaced] = JSON.parse((await run('--json', 'jobs', '--search', 'afar')).out) as {
    id: string;
    number: string;
  }[];
  // In the place of the job that had the number, with that one's outputs.
  expect(replaced).toMatchObject({ id: 'small-job', number: 'SJ-7' });
});

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallJob } from '../../support/small-job.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-week-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const run = async (...args: string[]) => await commandLine(['--archive', join(folder, 'archive'), ...args]);

async function jobKept(number: string, printStart?: string): Promise<void> {
  const path = join(folder, `${number}.json`);
  const production = { ...DEFAULT_PRODUCTION, ...(printStart !== undefined && { printStart }) };
  const { artwork: _, ...job } = smallJob({ id: `id-${number}`, number, production });
  writeFileSync(path, jobToJson(job));
  expect((await run('save', path)).code).toBe(EXIT.done);
}

it('WEEK3 shows the week, what breaks, and moves a job in it', async () => {
  await jobKept('SJ-1', '2126-11-25T08:10');
  await jobKept('SJ-2', '2126-11-25T08:25');
  await jobKept('SJ-3');
  const shown = await run('week');
  expect([shown.code, shown.err.includes('Error')]).toEqual([EXIT.done, false]);
  expect(shown.out).toMatch(/Warning: Printer 1: SJ-1 and SJ-2 overlap by \d+ min\. Begin SJ-2 at Mon /);
  expect(shown.out).toMatch(/SJ-3 has no start of printing yet; it prints \d+ min on Printer 1\./);
  const moved = await run('week', '--move', 'SJ-2', '--to', '2126-11-26 09:40');
  expect(moved.out).not.toContain('Warning');
  expect(moved.out).toMatch(/SJ-2 +Tue .*, 09:40|SJ-2 +Tue .*, 9:40 AM/);
  const cleared = await run('week', '--move', 'SJ-2');
  expect(cleared.out).toContain('SJ-2 has no start of printing yet');
  await run('installed', 'SJ-3', '--on', '2020-03-04');
  expect((await run('week')).out).not.toContain('SJ-3');
});

it('refuses a step, a film, a time or a bay that is none, each with one sentence', async () => {
  await jobKept('SJ-1');
  const refused = async (...args: string[]) => (await run('week', '--move', 'SJ-1', ...args)).err;
  expect(await refused('--step', 'dry')).toContain(
    '“dry” is no step. Select from: print, laminate, install.',
  );
  expect(await refused('--film', 'B')).toContain('“B” is no film. Select from: A.');
  expect(await refused('--to', 'Tuesday')).toContain('“Tuesday” is no date and time. Write it as');
  expect(await refused('--bay', '0')).toContain('“0” is no number of a bay.');
  expect((await run('week', '--move', 'SJ-9')).code).not.toBe(EXIT.done);
});

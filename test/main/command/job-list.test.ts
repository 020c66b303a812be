/** States, archiving, the day of installing and notes, as they are typed. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { resultValue } from '../../support/panel-check.ts';
import { smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);
const numbers = async (...options: string[]) =>
  (JSON.parse((await run('--json', 'jobs', ...options)).out) as { number: string }[]).map(
    ({ number }) => number,
  );

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-job-list-'));
  const archive = await testArchive(at('archive'));
  for (const number of ['J-9', 'J-10', 'J-2']) {
    const job = smallJob({ id: number, number });
    resultValue(
      await archive.jobs.save(job, { panelLabels: ['LH-01', 'LH-02'], now: '2026-03-09T07:00:00Z' }),
    );
  }
  await archive.close();
});
afterEach(() => rmSync(folder, { recursive: true }));

it('JP1 lists jobs by state, sorted as asked, archived ones aside', async () => {
  expect(await numbers()).toEqual(['J-2', 'J-10', 'J-9']);
  expect(await numbers('--sort', 'number')).toEqual(['J-2', 'J-9', 'J-10']);
  const installed = await run('installed', 'J-10', '--on', '2026-03-01');
  expect(installed.out).toBe('Job J-10 is installed 2026-03-01.\n');
  expect(await numbers('--state', 'installed')).toEqual(['J-10']);
  expect(await numbers('--state', 'planned')).toEqual(['J-2', 'J-9']);
  const later = await run('installed', 'J-9', '--on', '2999-01-01');
  expect(later.err).toMatch(/2999-01-01 has not come yet/);
  expect((await run('installed', 'J-10', '--undo')).out).toBe('Job J-10 is planned.\n');
  expect((await run('archive-job', 'J-9')).code).toBe(EXIT.done);
  expect(await numbers()).toEqual(['J-2', 'J-10']);
  expect(await numbers('--archived')).toEqual(['J-9']);
  expect(await numbers('--all')).toEqual(['J-2', 'J-10', 'J-9']);
  await run('archive-job', 'J-9', '--undo');
  expect(await numbers('--archived')).toEqual([]);
});

it('keeps notes at panels, and lists them', async () => {
  const note = ['note', 'J-9', '--text', 'Rivet under the edge', '--by', 'Ada'];
  expect((await run(...note, '--panel', 'LH-01')).out).toBe('Kept at panel LH-01.\n');
  expect((await run('notes', 'J-9')).out).toMatch(/^LH-01 {2}.* {2}Ada .* {2}Rivet under the edge\n$/);
  const unknown = await run(...note, '--panel', 'LH-08');
  expect(unknown.err).toMatch(/Job J-9 has no panel LH-08\. Select from: LH-01, LH-02\./);
  writeFileSync(at('text.jpg'), 'no picture');
  const refused = await run(...note, '--panel', 'LH-02', '--photo', at('text.jpg'));
  expect(refused.err).toMatch(/text\.jpg is not a JPEG, PNG or WebP picture/);
  expect((await run('notes', 'J-2')).out).toBe('No panel of this job has a note.\n');
});

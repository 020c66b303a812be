import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallJob } from '../../support/small-job.ts';

let folder: string;
let archive: readonly string[];

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-actuals-'));
  archive = ['--archive', join(folder, 'archive')];
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const run = async (...args: string[]) => await commandLine([...archive, ...args]);

async function jobKept(number: string): Promise<void> {
  const path = join(folder, `${number}.json`);
  const { artwork: _, ...job } = smallJob({ id: `id-${number}`, number });
  writeFileSync(path, jobToJson(job));
  expect((await run('save', path)).code).toBe(EXIT.done);
}

it('keeps what a job took with its estimate, adds to it, and refuses a panel that it has not', async () => {
  await jobKept('SJ-7');
  const entered = await run('actuals', 'SJ-7', '--film', '9.5 m', '--reprint', 'LH-02=color,customer');
  expect([entered.code, entered.err]).toEqual([EXIT.done, '']);
  expect(entered.out).toContain('LH-02 reprinted on');
  const more = await run('actuals', 'SJ-7', '--install-hours', '3.5', '--hours', 'trimming=0.5');
  expect(more.out).toMatch(/film printed +\d+(\.\d)? m +9\.5 m/);
  expect(more.out).toMatch(/installation .* 3\.5 h/);
  const wrong = await run('actuals', 'SJ-7', '--reprint', 'LH-09=color');
  expect(wrong.code).not.toBe(EXIT.done);
  expect(wrong.err).toContain('The job has no panel LH-09. Select from: ');
  expect((await run('actuals', 'SJ-7', '--reprint', 'LH-01=weather')).err).toContain(
    '“weather” is no reason.',
  );
  expect((await run('actuals', 'SJ-7')).out).toMatch(/trimming .* 0\.5 h/);
  expect((await run('actuals', 'SJ-7', '--reprint', 'LH-01=other', '--on', '2199-01-01')).err).toContain(
    '2199-01-01 has not come yet',
  );
});

it('ACT2 proposes a figure from three jobs, and the shop counts with it once it is taken', async () => {
  for (const [number, hours] of [
    ['SJ-1', '0.2'],
    ['SJ-2', '0.3'],
    ['SJ-3', '0.4'],
  ] as const) {
    await jobKept(number);
    await run('actuals', number, '--hours', `trimming=${hours}`);
  }
  // Two panels each: 6, 9 and 12 minutes a panel.
  expect((await run('reports')).out).toMatch(/trimMinutesPerPanel .* 4 +9 +4\.45 +3/);
  const taken = await run('reports', '--take', 'trimMinutesPerPanel', '--csv', join(folder, 'csv'));
  expect(taken.out).toContain('the shop counts with 9 from now on, before 4.');
  expect((await run('reports')).out).toMatch(/trimMinutesPerPanel .* 9 +9 +4\.45 +3/);
  expect(readFileSync(join(folder, 'csv', 'panelwright_jobs.csv'), 'utf8')).toContain('SJ-3,');
});

it('lists a job once it was installed', async () => {
  await jobKept('SJ-8');
  expect((await run('reports')).out).not.toContain('SJ-8');
  await run('installed', 'SJ-8', '--on', '2026-03-09');
  expect((await run('reports')).out).toMatch(/SJ-8 .*2026-03-09 +not promised/);
});

it('keeps what was counted of a reprint whose panel was renumbered since', async () => {
  await jobKept('SJ-7');
  await run('actuals', 'SJ-7', '--reprint', 'LH-02=color,customer', '--on', '2020-03-17');
  const counted = JSON.parse((await run('--json', 'actuals', 'SJ-7')).out).reprints;
  const path = join(folder, 'SJ-7.json');
  const { artwork: _, ...job } = smallJob({ id: 'id-SJ-7', number: 'SJ-7' });
  const sides = job.sides.map((side) => ({ ...side, code: 'DS' }));
  writeFileSync(path, jobToJson({ ...job, sides }));
  expect((await run('save', path)).code).toBe(EXIT.done);
  const more = await run('--json', 'actuals', 'SJ-7', '--install-hours', '4.5', '--reprint', 'DS-01=other');
  expect([more.code, more.err]).toEqual([EXIT.done, '']);
  const { actuals, reprints } = JSON.parse(more.out);
  expect(actuals.installHours).toBe(4.5);
  expect(reprints.slice(0, 1)).toEqual(counted);
  expect(reprints[1]).toMatchObject({ panel: 'DS-01' });
  expect((await run('actuals', 'SJ-7', '--reprint', 'LH-01=color')).err).toContain(
    'The job has no panel LH-01.',
  );
});

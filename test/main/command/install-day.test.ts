import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallJob } from '../../support/small-job.ts';

it('sets the install day of sides and panels, and nothing where one is unknown', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-days-'));
  try {
    const path = join(folder, 'job.json');
    writeFileSync(path, jobToJson(smallJob()));
    const run = (...args: string[]) =>
      commandLine(['--archive', join(folder, 'archive'), '--json', 'install-day', path, ...args]);
    const days = async (...args: string[]) => {
      const ended = await run(...args);
      expect(ended.code, ended.err).toBe(EXIT.done);
      return JSON.parse(ended.out).days;
    };
    expect(await days()).toEqual([{ day: 1, panels: ['LH-01', 'LH-02'] }]);
    expect(await days('lh-02', '--day', '3')).toEqual([
      { day: 1, panels: ['LH-01'] },
      { day: 3, panels: ['LH-02'] },
    ]);
    const before = readFileSync(path, 'utf8');
    expect((await run('LH-01', 'RH', '--day', '2')).out).toContain('The job has no side and no panel RH.');
    expect((await run('LH', '--day', '31')).out).toContain('An installation has at most 30 days.');
    expect((await run('LH')).out).toContain('one of them is missing');
    expect(readFileSync(path, 'utf8')).toBe(before);
    expect(await days('LH', '--day', '2')).toEqual([{ day: 2, panels: ['LH-01', 'LH-02'] }]);
  } finally {
    rmSync(folder, { recursive: true });
  }
});

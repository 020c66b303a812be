import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { MeasuredCoverage } from '../../../core/production/job-coverage.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-ink-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
});
afterEach(() => rmSync(folder, { recursive: true }));

const run = (signal: AbortSignal, ...args: string[]) =>
  commandLine(['--archive', at('archive'), ...args], { signal });

const ink = (signal = new AbortController().signal) =>
  run(signal, '--json', 'ink', at('job.json'), '--artwork', at('art.pdf'));

describe('ink on the command line', () => {
  it('tells mean and worst coverage of each panel, from the artwork', async () => {
    writeFileSync(at('job.json'), jobToJson(smallJob()));
    const ran = await ink();
    expect(ran.code).toBe(EXIT.done);
    const { panels, unmeasured } = MeasuredCoverage.parse(JSON.parse(ran.out));
    expect(unmeasured).toEqual([]);
    expect(panels.map(({ label }) => label)).toEqual(['LH-01', 'LH-02']);
    // By hand: 90/50/20/10 % make 170 %; a rectangle of 90 × 40 drawn mm is 20 % black, and a line of 1.06 mm all black.
    const drawn = 139.5 * 140;
    const line = 1.058 * 139.5 * Math.hypot(1, 140 / 320);
    const expected = (170 * (drawn - 3600 - line) + 20 * 3600 + 100 * line) / drawn;
    expect(Math.abs(panels[0]!.meanPercent - expected)).toBeLessThan(1);
    expect(Math.abs(panels[0]!.worstPercent - 170)).toBeLessThan(1);
    expect(panels[0]!.windowMm2).toBeGreaterThan(15);
    expect(panels[0]!.windowMm2).toBeLessThan(16);
  });

  it('stops when it is told to', async () => {
    writeFileSync(at('job.json'), jobToJson(smallJob()));
    const ran = await ink(AbortSignal.abort());
    expect(ran.code).toBe(EXIT.cancelled);
    expect(ran.err.trim().split('\n')).toHaveLength(1);
  });

  it('the checks of a job that is to be printed know it: 170 % dries within a day', async () => {
    const job = smallJob({
      production: {
        ...DEFAULT_PRODUCTION,
        printStart: '2026-03-09T08:00',
        promised: '2026-03-12T12:00',
      },
    });
    writeFileSync(at('job.json'), jobToJson(job));
    const check = () =>
      run(new AbortController().signal, 'check', at('job.json'), '--artwork', at('art.pdf'));
    expect((await check()).code).toBe(EXIT.done);
    // For a worst coverage of 350 % no drying time is known but three days.
    const heavy = { ...job, production: { ...job.production!, worstCoveragePercent: 350 } };
    writeFileSync(at('job.json'), jobToJson(heavy));
    const blocked = await check();
    expect(blocked.out).toContain('72 h of drying');
    expect(blocked.code).toBe(EXIT.blocked);
  });
});

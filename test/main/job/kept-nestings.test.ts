import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { type JobProduction, jobProduction } from '../../../core/production/job-production.ts';
import { knownRollPlans } from '../../../core/rolls/roll-plan.ts';
import { withKeptNestings } from '../../../main/job/kept-nestings.ts';
import { smallJob } from '../../support/small-job.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-nestings-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const JOB = smallJob({
  artwork: { fileName: 'art.pdf', sha256: 'ab'.repeat(32), sizeBytes: 1000, box: 'crop' },
});

/** The nesting of the job by a program that has just started, and whether it had to search for it. */
async function newSession(): Promise<{ readonly plan: JobProduction['plan']; readonly isSearched: boolean }> {
  knownRollPlans.clear();
  const looks: number[] = [];
  const { plan } = await withKeptNestings(folder, JOB.artwork, () =>
    jobProduction(JOB, jobLayout(JOB), undefined, (share) => looks.push(share)),
  );
  return { plan, isSearched: looks.length > 0 };
}

const keptFile = (): string => {
  const kept = readdirSync(folder, { recursive: true, encoding: 'utf8' });
  return join(folder, kept.find((name) => name.endsWith('nestings.json'))!);
};

describe('a nesting', () => {
  it('is searched once for all sessions, and the same each time', async () => {
    const first = await newSession();
    const second = await newSession();
    expect([first.isSearched, second.isSearched]).toEqual([true, false]);
    expect(second.plan).toEqual(first.plan);
    expect(first.plan.placements).not.toEqual([]);
  });

  it('is searched again where what was kept is damaged or of another program', async () => {
    const { plan } = await newSession();
    const kept = readFileSync(keptFile(), 'utf8');
    for (const other of [kept.replace(/"by":"[^"]*"/, '"by":"0.0.1 0"'), kept.slice(0, 90), '{"plans":1}']) {
      writeFileSync(keptFile(), other);
      expect(await newSession(), other.slice(0, 60)).toEqual({ plan, isSearched: true });
    }
  });
});

import { describe, expect, it, vi } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { jobClean } from '../../core/findings/sample-findings.ts';

/** Main, as far as a job is opened: it knows one job, and derives nothing. */
let stored: Job;
vi.mock('../../../renderer/client/client.ts', () => ({
  ask: async (verb: string) =>
    verb === 'job:open'
      ? { ok: true, value: { job: stored, revision: 1 } }
      : { ok: false, problem: { code: 'unreachable', message: 'Nobody is there.', remedy: 'Wait.' } },
  tell: () => undefined,
}));
vi.stubGlobal('location', { hash: '' });
// Another test file of this process may have opened its own job.
vi.resetModules();
const { openJob } = await import('../../../renderer/state/open-job.ts');
const { blockingFindings, findings } = await import('../../../renderer/state/job-findings.ts');

const LAMINATE: Job['laminate'] = { name: 'L', kind: 'calendered-monomeric', finish: '', lotNumber: '' };

async function codesOnScreen(job: Job): Promise<string[]> {
  stored = job;
  await openJob(job.id);
  return findings.value.map(({ code }) => code);
}

describe('the findings of the job on the screen', () => {
  it('keep a laminate that lifts its film once production was opened', async () => {
    const job = jobClean({}, { laminate: LAMINATE });
    expect(await codesOnScreen({ ...job, id: 'not-opened' })).toContain('pair-calendered-on-cast');
    const opened = { ...job, id: 'opened', production: DEFAULT_PRODUCTION };
    expect(await codesOnScreen(opened)).toContain('pair-calendered-on-cast');
    expect(blockingFindings.value.map(({ code }) => code)).toContain('pair-calendered-on-cast');
  });
});

import { fileURLToPath } from 'node:url';
import type { JobSummary } from '../../core/contract/verbs-jobs.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { DEMO_JOBS, readDemoJob } from '../job/demo-jobs.ts';
import { saveJob } from './save-job.ts';
import type { ActParts } from './service-parts.ts';

/** Puts the demo's bookmobile into the archive, artwork included, or finds the one that is there. */
export async function addDemoJob({
  archive,
  now,
}: Pick<ActParts, 'archive' | 'now'>): Promise<Result<JobSummary>> {
  const demo = DEMO_JOBS.bookmobile;
  const { box, artworkName: fileName } = demo;
  const job = await readDemoJob(demo);
  const existing = await archive.jobs.find(job.id);
  if (existing.ok) {
    const { document: _, ...summary } = existing.value;
    return resultOk(summary);
  }
  const kept = await archive.vault.add(fileURLToPath(demo.artwork));
  return await saveJob(archive, { ...job, artwork: { ...kept, fileName, box } }, now(), 0);
}

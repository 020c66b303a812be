import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { JobSummary } from '../../core/contract/verbs-jobs.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { DEMO_JOBS, readDemoJob } from '../job/demo-jobs.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { saveJob } from './save-job.ts';
import type { ActParts } from './service-parts.ts';

/** Puts the demo's bookmobile into the archive, artwork included, or finds the one that is there. */
export async function addDemoJob(
  { archive, work, now }: Pick<ActParts, 'archive' | 'work' | 'now'>,
  tools: TaskTools,
): Promise<Result<JobSummary>> {
  const demo = DEMO_JOBS.bookmobile;
  const { box, artworkName: fileName } = demo;
  const job = await readDemoJob(demo);
  const existing = await archive.jobs.find(job.id);
  if (existing.ok) {
    const { document: _, ...summary } = existing.value;
    return resultOk(summary);
  }
  const drawn = await work.run('demoArtwork', { name: 'bookmobile' }, tools);
  if (!drawn.ok) return drawn;
  const folder = makeScratchFolder('demo');
  try {
    const path = join(folder, fileName);
    await writeFile(path, drawn.value);
    const kept = await archive.vault.add(path);
    return await saveJob(archive, { ...job, artwork: { ...kept, fileName, box } }, now(), 0);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

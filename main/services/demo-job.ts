import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Progress } from '../../core/contract/parts.ts';
import type { JobSummary } from '../../core/contract/verbs-jobs.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';
import { scratchFolder } from '../files/scratch-folder.ts';
import { DEMO_JOBS, demoJobRead } from './demo-jobs.ts';
import { jobSaved } from './job-archive.ts';

/** Puts the demo's bookmobile into the archive, artwork included, or finds the one that is there. */
export async function demoJobAdded(
  archive: Archive,
  now: string,
  { report }: { readonly report: (progress: Progress) => void },
): Promise<Result<JobSummary>> {
  const demo = DEMO_JOBS.bookmobile;
  const job = await demoJobRead(demo);
  const existing = await archive.jobs.find(job.id);
  if (existing.ok) {
    const { document: _, ...summary } = existing.value;
    return resultOk(summary);
  }
  report({ what: 'Drawing the demo artwork', done: 0, total: 1 });
  const folder = scratchFolder('demo');
  try {
    const path = join(folder, demo.artworkName);
    await writeFile(path, await demo.artwork());
    const kept = await archive.vault.add(path);
    const withArtwork = { ...job, artwork: { ...kept, fileName: demo.artworkName, box: demo.box } };
    return await jobSaved(archive, withArtwork, jobLayout(withArtwork), 0, now);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

import type { Job } from '../../core/job/schema.ts';
import type { Result } from '../../core/measure/result.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { CheckedJob } from '../tasks/tasks.ts';
import { outputsInUse } from './outputs-in-use.ts';
import type { ActParts } from './service-parts.ts';

/** All findings of a job, and which of them keep panels from being written. It may have no artwork yet. */
export async function checkJob(
  { archive, work }: Pick<ActParts, 'archive' | 'work'>,
  job: Job,
  artwork: ArtworkAt | undefined,
  tools: TaskTools,
): Promise<Result<CheckedJob>> {
  const outputs = await outputsInUse(archive, job.id);
  const request = { job, outputs, archiveFolder: archive.folder, ...(artwork && { artwork }) };
  return await work.run('check', request, tools);
}

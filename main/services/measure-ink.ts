import type { Job } from '../../core/job/schema.ts';
import type { Result } from '../../core/measure/result.ts';
import type { MeasuredCoverage } from '../../core/production/job-coverage.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

/** How much ink the artwork asks for, panel by panel. */
export async function measureInk(
  { archive, planning }: Pick<ActParts, 'archive' | 'planning'>,
  job: Job,
  artwork: ArtworkAt,
  tools: TaskTools,
): Promise<Result<MeasuredCoverage>> {
  return await planning.run('coverage', { job, artwork, archiveFolder: archive.folder }, tools);
}

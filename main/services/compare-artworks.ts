import type { Job } from '../../core/job/schema.ts';
import type { Result } from '../../core/measure/result.ts';
import type { ArtworkComparison } from '../../core/output/artwork-comparison.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

/** What a corrected artwork would change on the panels of a job. Nothing is replaced. */
export async function compareArtworks(
  { work }: Pick<ActParts, 'work'>,
  request: { readonly job: Job; readonly artwork: ArtworkAt; readonly corrected: ArtworkAt },
  tools: TaskTools,
): Promise<Result<ArtworkComparison>> {
  return await work.run('comparison', request, tools);
}

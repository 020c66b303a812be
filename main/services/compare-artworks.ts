/** A corrected artwork held against the one of a job. Nothing is replaced by that. */
import type { ArtworkReference, Job } from '../../core/job/schema.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ArtworkComparison } from '../../core/output/artwork-comparison.ts';
import { isOutlineOf } from '../../core/output/older-outputs.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { artworkInVault, noArtwork } from './artwork-in-vault.ts';
import type { ActParts } from './service-parts.ts';

/** Two files, of which nothing is kept. */
export async function compareArtworks(
  { work }: Pick<ActParts, 'work'>,
  request: { readonly job: Job; readonly artwork: ArtworkAt; readonly corrected: ArtworkAt },
  tools: TaskTools,
): Promise<Result<ArtworkComparison>> {
  return await work.run('comparison', request, tools);
}

export interface KeptComparisonOrder {
  /** With the artwork that it has. */
  readonly job: Job;
  /** The corrected artwork, in the archive like the other one. */
  readonly after: ArtworkReference;
}

/** Two artworks of the archive; what comes of it is kept with the job, and answered again while its panels are the same. */
export async function compareKeptArtworks(
  parts: Pick<ActParts, 'archive' | 'work' | 'now'>,
  { job, after }: KeptComparisonOrder,
  passwordOf: (sha256: string) => string | undefined,
  tools: TaskTools,
): Promise<Result<ArtworkComparison>> {
  const { archive } = parts;
  const { artwork: before } = job;
  if (!before) return resultProblem(noArtwork);
  const known = (await archive.comparisons.list(job.id)).findLast(
    (each) => each.before.sha256 === before.sha256 && each.after.sha256 === after.sha256,
  );
  if (known && isOfPanelsNow(known, job)) return resultOk(known);
  const artwork = await artworkInVault(archive, before, passwordOf(before.sha256));
  if (!artwork.ok) return artwork;
  const corrected = await artworkInVault(archive, after, passwordOf(after.sha256));
  if (!corrected.ok) return corrected;
  const request = { job, artwork: artwork.value, corrected: corrected.value };
  const compared = await compareArtworks(parts, request, tools);
  if (compared.ok && !archive.isReadOnly && (await archive.jobs.find(job.id)).ok)
    await archive.comparisons.keep(job.id, compared.value, parts.now());
  return compared;
}

function isOfPanelsNow({ sides }: ArtworkComparison, job: Job): boolean {
  const kept = sides.flatMap(({ sideId, panels }) => panels.map((panel) => ({ sideId, panel })));
  const now = jobLayout(job).flatMap(({ panels }) => panels);
  return (
    kept.length === now.length &&
    now.every((panel) => kept.some((each) => each.sideId === panel.sideId && isOutlineOf(each.panel, panel)))
  );
}

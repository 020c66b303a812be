/** Corrected artworks of the open job: comparisons, results, and those that wait for the operator. */
import { computed, effect, signal } from '@preact/signals';
import type { ArtworkReference, Job } from '../../core/job/schema.ts';
import type { ArtworkComparison } from '../../core/output/artwork-comparison.ts';
import { ask } from '../client/client.ts';
import { askOutputsAgain } from './last-output.ts';
import { showProblem } from './notices.ts';
import { job } from './open-job.ts';
import { workSlot } from './work.ts';

/** Two artworks to compare; the job as it was with the first of them. */
export interface ToCompare {
  readonly job: Job;
  readonly after: ArtworkReference;
}

const kept = signal<
  { readonly jobId: string; readonly comparisons: readonly ArtworkComparison[] } | undefined
>(undefined);
/** The one that is looked at, by the hashes of its artworks; absent: the latest. */
export const lookedAt = signal<string | undefined>(undefined);

export const compareWork = workSlot();

export const comparisonKey = ({ before, after }: ArtworkComparison): string =>
  `${before.sha256} ${after.sha256}`;

export const comparisons = computed<readonly ArtworkComparison[]>(() =>
  kept.value?.jobId === job.value?.id ? (kept.value?.comparisons ?? []) : [],
);

/** Compared with the artwork that the job has, and not used yet. */
export const waitingComparisons = computed<readonly ArtworkComparison[]>(() =>
  comparisons.value.filter(
    ({ before, after }) =>
      before.sha256 === job.value?.artwork?.sha256 && after.sha256 !== job.value?.artwork?.sha256,
  ),
);

export async function readComparisons(jobId: string): Promise<void> {
  const read = await ask('artwork:comparisons', { jobId });
  if (read.ok && job.value?.id === jobId) kept.value = { jobId, comparisons: read.value };
}

export async function compareArtworks(request: ToCompare): Promise<void> {
  const jobId = request.job.id;
  const compared = await compareWork.run('artwork:compare', request, 'Comparing the artworks', jobId);
  if (!compared.ok) return showProblem(compared.problem);
  lookedAt.value = comparisonKey(compared.value);
  await readComparisons(jobId);
  askOutputsAgain();
}

export async function declineArtwork(jobId: string, { after }: ArtworkComparison): Promise<void> {
  const declined = await ask('artwork:decline', { jobId, sha256: after.sha256 });
  if (!declined.ok) return showProblem(declined.problem);
  await readComparisons(jobId);
}

const LOOK_MS = 20_000;

/**
 * Runs for each job when it is opened and at intervals after, because a watched folder may bring a corrected artwork.
 * Called once.
 */
export function followComparisons(): void {
  const openId = computed(() => job.value?.id);
  effect(() => {
    const jobId = openId.value;
    lookedAt.value = undefined;
    if (jobId === undefined) return undefined;
    void readComparisons(jobId);
    const timer = setInterval(() => void readComparisons(jobId), LOOK_MS);
    return () => clearInterval(timer);
  });
}

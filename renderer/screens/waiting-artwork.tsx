/** Tells the user on every screen of a job that a corrected artwork is waiting, for example from a watched folder. */
import type { Job } from '../../core/job/schema.ts';
import { Button } from '../parts/button.tsx';
import { comparisonKey, lookedAt, waitingComparisons } from '../state/compare.ts';
import { route, showScreen } from '../state/route.ts';

export function WaitingArtwork({ job }: { readonly job: Job }) {
  const waiting = waitingComparisons.value.at(-1);
  if (!waiting || route.value.screen === 'compare') return null;
  return (
    <div class="waiting-artwork" role="status">
      <p>A corrected artwork waits: {waiting.after.fileName}. Nothing was replaced.</p>
      <Button
        onClick={() => {
          lookedAt.value = comparisonKey(waiting);
          showScreen({ screen: 'compare', jobId: job.id });
        }}
      >
        Compare
      </Button>
    </div>
  );
}

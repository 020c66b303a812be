import { computed, signal } from '@preact/signals';
import { fileLimits, type PreviewLimit, previewLimits } from '../../core/checks/preview-limits.ts';
import type { Problem } from '../../core/measure/result.ts';
import { artworkFacts } from '../state/open-job.ts';
import { placedPictures } from './bench-state.ts';

/** Why the artwork on the bench cannot be drawn, or no sharper; undefined where all is well. */
export const pictureProblem = signal<Problem | undefined>(undefined);

/** Whether tiles of the artwork are still being drawn. */
export const isPictureAwaited = signal(false);

/** What the picture of each page on the bench does not show as it prints; pages without are left out. */
export const pictureLimits = computed<
  readonly { readonly page: number; readonly limits: readonly PreviewLimit[] }[]
>(() => {
  const facts = artworkFacts.value;
  if (!facts) return [];
  const ofFile = fileLimits(facts.reference);
  const onBench = new Set(placedPictures.value.map(({ page }) => page));
  return [...onBench]
    .map((page) => {
      const scanned = facts.scan?.pages.find(({ number }) => number === page);
      const ofPage = scanned && facts.scan ? previewLimits(scanned, facts.scan.document) : [];
      return { page, limits: [...ofFile, ...ofPage] };
    })
    .filter(({ limits }) => limits.length > 0);
});

import { computed, signal } from '@preact/signals';
import { type PreviewLimit, previewLimits } from '../../core/checks/preview-limits.ts';
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
  const scan = artworkFacts.value?.scan;
  if (!scan) return [];
  const onBench = new Set(placedPictures.value.map(({ page }) => page));
  return scan.pages
    .filter(({ number }) => onBench.has(number))
    .map((page) => ({ page: page.number, limits: previewLimits(page, scan.document) }))
    .filter(({ limits }) => limits.length > 0);
});

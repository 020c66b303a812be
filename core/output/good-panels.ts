/** Which panels of an output a later artwork has left as they are. */
import type { ArtworkComparison, ComparedPanel } from './artwork-comparison.ts';
import type { ManifestPanel } from './manifest.ts';
import { isSameOutline } from './same-outline.ts';

type CutPanel = Pick<ManifestPanel, 'sideId' | 'finishedBox' | 'finishedOutline'>;

/**
 * CA7 Hashes of the artworks that a panel prints as it is: the one that it was cut from, and each that a comparison, or one
 * after the other, says has left it unchanged.
 */
export function artworksGoodFor(
  panel: CutPanel,
  cutFrom: string,
  comparisons: readonly ArtworkComparison[],
): string[] {
  const good = [cutFrom];
  for (const sha256 of good) {
    for (const { before, after, sides } of comparisons) {
      if (before.sha256 !== sha256 || good.includes(after.sha256)) continue;
      const compared = sides.find(({ sideId }) => sideId === panel.sideId)?.panels ?? [];
      if (isUnchanged(compared.find((each) => isSameOutline(each, panel)))) good.push(after.sha256);
    }
  }
  return good;
}

const isUnchanged = (panel: ComparedPanel | undefined): boolean =>
  panel !== undefined && panel.verdict !== 'changed';

/** Hashes of the artworks that one was compared with, or one after the other. */
export function artworksComparedWith(sha256: string, comparisons: readonly ArtworkComparison[]): string[] {
  const reached = [sha256];
  for (const from of reached) {
    for (const { before, after } of comparisons)
      if (before.sha256 === from && !reached.includes(after.sha256)) reached.push(after.sha256);
  }
  return reached.slice(1);
}

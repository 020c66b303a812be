/** Which panels of an output a later artwork left unchanged. */
import { z } from 'zod';
import type { ArtworkComparison, ComparedPanel } from './artwork-comparison.ts';
import type { ManifestPanel } from './manifest.ts';
import { isSameOutline } from './same-outline.ts';

/** An artwork that prints a panel unchanged, and the page that its side must be on. */
export const GoodArtwork = z.strictObject({ sha256: z.string(), page: z.number().int().positive() });
export type GoodArtwork = z.infer<typeof GoodArtwork>;

type CutPanel = Pick<ManifestPanel, 'sideId' | 'finishedBox' | 'finishedOutline'>;

/**
 * CA7 Artworks that print a panel unchanged: the one it was cut from, and those that a comparison, or a chain of
 * comparisons, found unchanged. Keeps CA7.
 */
export function artworksGoodFor(
  panel: CutPanel,
  cutFrom: GoodArtwork,
  comparisons: readonly ArtworkComparison[],
): GoodArtwork[] {
  const good = [cutFrom];
  for (const { sha256, page } of good) {
    for (const { before, after, sides } of comparisons) {
      if (before.sha256 !== sha256 || good.some((known) => known.sha256 === after.sha256)) continue;
      const side = sides.find(({ sideId }) => sideId === panel.sideId);
      if (side?.pageBefore !== page || side.pageAfter === undefined) continue;
      if (isUnchanged(side.panels.find((each) => isSameOutline(each, panel))))
        good.push({ sha256: after.sha256, page: side.pageAfter });
    }
  }
  return good;
}

const isUnchanged = (panel: ComparedPanel | undefined): boolean =>
  panel !== undefined && panel.verdict !== 'changed';

/** Hashes of the artworks that one was compared with, directly or through a chain of comparisons. */
export function artworksComparedWith(sha256: string, comparisons: readonly ArtworkComparison[]): string[] {
  const reached = [sha256];
  for (const from of reached) {
    for (const { before, after } of comparisons)
      if (before.sha256 === from && !reached.includes(after.sha256)) reached.push(after.sha256);
  }
  return reached.slice(1);
}

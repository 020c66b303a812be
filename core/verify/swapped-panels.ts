/** Which panel a file really holds, where it is not the one that its name says. */
import { rectFromStored } from '../job/stored-rect.ts';
import { edgeLengthsAll, isRectWithin, type Rect, rectGrown } from '../measure/rect.ts';
import type { ManifestPanel } from '../output/manifest.ts';

/** What is known of one panel's file. */
export interface FoundPanel {
  readonly panel: ManifestPanel;
  readonly sha256: string;
  /** The part of the artwork that it shows, as read from the file; undefined where it cannot be read. */
  readonly window: Rect<'drawn'> | undefined;
}

const SAME_PLACE_MM = 0.01;

/**
 * The other panel whose part of the artwork, or whose bytes, the file holds; undefined where it is its own, or
 * no panel's. `hashes` are those of the manifest, by file.
 */
export function panelHeld(
  { panel, sha256, window }: FoundPanel,
  panels: readonly ManifestPanel[],
  hashes: ReadonlyMap<string, string>,
): ManifestPanel | undefined {
  if (window && isWindowOf(panel, window)) return undefined;
  const others = panels.filter((other) => other !== panel);
  return (
    others.find(({ file }) => hashes.get(file) === sha256) ??
    others.find((other) => window && other.source.page === panel.source.page && isWindowOf(other, window))
  );
}

function isWindowOf({ source }: ManifestPanel, window: Rect<'drawn'>): boolean {
  const expected = rectFromStored<'drawn'>(source.windowDrawnMm);
  const slack = edgeLengthsAll(SAME_PLACE_MM);
  return isRectWithin(window, rectGrown(expected, slack)) && isRectWithin(expected, rectGrown(window, slack));
}

/** Finds which panel a file really contains, where that is not the panel in its name. */
import { rectFromStored } from '../job/stored-rect.ts';
import { edgeLengthsAll, isRectWithin, type Rect, rectGrown } from '../measure/rect.ts';
import type { ManifestPanel } from '../output/manifest.ts';

/** The facts about one panel's file. */
export interface FoundPanel {
  readonly panel: ManifestPanel;
  readonly sha256: string;
  /** The part of the artwork that it shows, as read from the file; undefined where it cannot be read. */
  readonly window: Rect<'drawn'> | undefined;
}

const SAME_PLACE_MM = 0.01;

/**
 * The other panel whose part of the artwork, or whose bytes, the file has; undefined where the file is right, or
 * matches no panel. `hashes` are those of the manifest, by file.
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

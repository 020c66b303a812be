/** Which panels can be held against one picture of the artwork: drawing the page once for all of them saves most of a verification. */
import { rectFromStored } from '../job/stored-rect.ts';
import { firstOf } from '../measure/present.ts';
import type { ManifestPanel } from '../output/manifest.ts';
import { type PixelWindow, pixelCount, pixelWindowsUnion, type SideGrid } from './side-grid.ts';

export interface SourceGroup {
  readonly panels: readonly ManifestPanel[];
  /** What one picture has to show for all of them. */
  readonly window: PixelWindow;
}

/** 96 MB at four bytes a pixel: a trailer's side at the coarsest grid is a third of that. */
export const MAX_SOURCE_PIXELS = 24e6;
/** Windows that lie this far apart from where one page would put them need a picture of their own. */
const PLACE_DIGITS = 3;

/** In the order of the panels; each group shows one page in one place. `maxPixels` holds unless one panel alone exceeds it. */
export function sourceGroups(
  panels: readonly ManifestPanel[],
  grid: SideGrid,
  maxPixels = MAX_SOURCE_PIXELS,
): SourceGroup[] {
  const groups: SourceGroup[] = [];
  for (const panel of panels) {
    const window = grid.around(rectFromStored(panel.printedBox));
    const index = groups.findIndex(
      (group) =>
        pagePlace(firstOf(group.panels)) === pagePlace(panel) &&
        pixelCount(pixelWindowsUnion(group.window, window)) <= maxPixels,
    );
    const group = groups[index];
    if (group === undefined) groups.push({ panels: [panel], window });
    else
      groups[index] = { panels: [...group.panels, panel], window: pixelWindowsUnion(group.window, window) };
  }
  return groups;
}

/** The page, and where on the side's plane the panel says that it is. */
function pagePlace({ source: { page, box, windowDrawnMm }, scale, printedBox }: ManifestPanel): string {
  const x = windowDrawnMm.xMm * scale - printedBox.xMm;
  const y = windowDrawnMm.yMm * scale - printedBox.yMm;
  // Adding nothing makes -0 a 0.
  return [page, box, scale, ...[x, y].map((mm) => Number(mm.toFixed(PLACE_DIGITS)) + 0)].join(' ');
}

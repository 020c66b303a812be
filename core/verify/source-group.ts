/**
 * Groups panels that can be compared with one picture of the artwork: drawing the page once for all of them saves most
 * of the time of a verification.
 */
import { rectFromStored } from '../job/stored-rect.ts';
import { firstOf } from '../measure/present.ts';
import type { ManifestPanel } from '../output/manifest.ts';
import { type PixelWindow, pixelCount, pixelWindowsUnion, type SideGrid } from './side-grid.ts';

export interface SourceGroup {
  readonly panels: readonly ManifestPanel[];
  /** The window that one picture must show for all of them. */
  readonly window: PixelWindow;
}

/** 96 MB at four bytes per pixel; a trailer's side at the coarsest grid takes a third of that. */
export const MAX_SOURCE_PIXELS = 24e6;
/** Windows whose places differ in these digits from where one page would put them need a separate picture. */
const PLACE_DIGITS = 3;

/**
 * The groups in the order of the panels; each group shows one page in one place. `maxPixels` applies unless one panel
 * alone exceeds it.
 */
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

/** The page, and where the panel says that it is on the side's plane. */
function pagePlace({ source: { page, box, windowDrawnMm }, scale, printedBox }: ManifestPanel): string {
  const x = windowDrawnMm.xMm * scale - printedBox.xMm;
  const y = windowDrawnMm.yMm * scale - printedBox.yMm;
  // Adding zero turns -0 into 0.
  return [page, box, scale, ...[x, y].map((mm) => Number(mm.toFixed(PLACE_DIGITS)) + 0)].join(' ');
}

/** Draws panels, and the artwork that belongs there, in windows of the side's grid. */
import { join, posix } from 'node:path';
import { MM_PER_PT } from '../../core/measure/units.ts';
import type { ManifestPanel } from '../../core/output/manifest.ts';
import { pageWithSpace } from '../../core/pdf/document/artwork.ts';
import type { PixelWindow, SideGrid } from '../../core/verify/side-grid.ts';
import type { SourceGroup } from '../../core/verify/source-group.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import type { RenderOutcome, RenderThread } from './render-thread.ts';

export interface DrawingTools {
  readonly thread: RenderThread;
  readonly grid: SideGrid;
  readonly signal: AbortSignal;
}

/** The artwork's page, so that each panel's window of it falls on its window of the grid. */
export async function drawSource(
  { panels, window }: SourceGroup,
  { artwork, path, password }: OpenedArtwork,
  { thread, grid, signal }: DrawingTools,
): Promise<RenderOutcome> {
  const { source, scale, printedBox } = panels[0]!;
  const { page, box, windowDrawnMm } = source;
  const found = pageWithSpace(artwork, page, box);
  if (!found.ok) return { ok: false, trouble: found.problem.message };
  const { space, geometry } = found.value;
  // The renderer shows the CropBox.
  const crop = space.rectFromBox(geometry.boxes.crop);
  return await thread.picture(
    {
      path,
      ...(password !== undefined && { password }),
      page,
      placement: {
        scale: (MM_PER_PT * scale) / grid.mmPerPixel,
        x0: ((crop.x - windowDrawnMm.xMm) * scale + printedBox.xMm) / grid.mmPerPixel - window.x,
        y0: ((crop.y - windowDrawnMm.yMm) * scale + printedBox.yMm) / grid.mmPerPixel - window.y,
      },
      size: window,
    },
    signal,
  );
}

/** The panel's page where its film hangs. */
export async function drawPanel(
  { file, filmBox, enlargeBy }: ManifestPanel,
  window: PixelWindow,
  folder: string,
  { thread, grid, signal }: DrawingTools,
): Promise<RenderOutcome> {
  return await thread.picture(
    {
      path: join(folder, ...file.split(posix.sep)),
      page: 1,
      placement: {
        scale: (MM_PER_PT * enlargeBy) / grid.mmPerPixel,
        x0: filmBox.xMm / grid.mmPerPixel - window.x,
        y0: filmBox.yMm / grid.mmPerPixel - window.y,
      },
      size: window,
    },
    signal,
  );
}

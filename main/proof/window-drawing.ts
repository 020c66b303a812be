/** Draws a panel, and the artwork that belongs there, in the same window of the side's grid. */
import { join, posix } from 'node:path';
import type { ManifestPanel } from '../../core/manifest.ts';
import { MM_PER_PT } from '../../core/measure/units.ts';
import { pageWithSpace } from '../../core/pdf/artwork.ts';
import type { PixelWindow } from '../../core/proof/side-grid.ts';
import type { PanelProofTools } from './panel-proof.ts';
import type { RenderOutcome, RenderThread } from './render-thread.ts';

/** The artwork stays open on one thread while panels come and go on the other. */
export interface ProofThreads {
  readonly source: RenderThread;
  readonly panels: RenderThread;
}

/** The artwork's page, so that the panel's window of it falls on the window of the grid. */
export async function sourceDrawn(
  { source: { page, box, windowDrawnMm }, scale, printedMm }: ManifestPanel,
  window: PixelWindow,
  { artwork, grid, threads, signal }: PanelProofTools,
): Promise<RenderOutcome> {
  const found = pageWithSpace(artwork.artwork, page, box);
  if (!found.ok) return { ok: false, trouble: found.problem.message };
  const { space, geometry } = found.value;
  // The renderer shows the CropBox.
  const crop = space.rectFromBox(geometry.boxes.crop);
  const { path, password } = artwork;
  return await threads.source.picture(
    {
      path,
      ...(password !== undefined && { password }),
      page,
      placement: {
        scale: (MM_PER_PT * scale) / grid.mmPerPixel,
        x0: ((crop.x - windowDrawnMm.xMm) * scale + printedMm.xMm) / grid.mmPerPixel - window.x,
        y0: ((crop.y - windowDrawnMm.yMm) * scale + printedMm.yMm) / grid.mmPerPixel - window.y,
      },
      size: window,
    },
    signal,
  );
}

/** The panel's page where its film hangs. */
export async function panelDrawn(
  { file, filmMm, enlargeBy }: ManifestPanel,
  window: PixelWindow,
  { folder, grid, threads, signal }: PanelProofTools,
): Promise<RenderOutcome> {
  return await threads.panels.picture(
    {
      path: join(folder, ...file.split(posix.sep)),
      page: 1,
      placement: {
        scale: (MM_PER_PT * enlargeBy) / grid.mmPerPixel,
        x0: filmMm.xMm / grid.mmPerPixel - window.x,
        y0: filmMm.yMm / grid.mmPerPixel - window.y,
      },
      size: window,
    },
    signal,
  );
}

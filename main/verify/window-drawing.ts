/** Draws panels, and the matching parts of the artwork, in windows of the side's grid. */
import { MM_PER_PT } from '../../core/measure/units.ts';
import type { ManifestPanel } from '../../core/output/manifest.ts';
import { pageWithSpace } from '../../core/pdf/document/artwork.ts';
import type { PixelWindow, SideGrid } from '../../core/verify/side-grid.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import type { Renderer } from './draw-message.ts';
import type { DrawOutcome, DrawProcess } from './draw-process.ts';

export interface DrawingTools {
  readonly drawing: DrawProcess;
  readonly artwork: OpenedArtwork;
  readonly grid: SideGrid;
  readonly signal: AbortSignal;
}

/** Draws the artwork's page so that the panel's window of it falls on its window of the grid. */
export async function drawSource(
  renderer: Renderer,
  { source, scale, printedBox }: Pick<ManifestPanel, 'source' | 'scale' | 'printedBox'>,
  window: PixelWindow,
  { drawing, grid, signal, artwork: { artwork, path, password, reference } }: DrawingTools,
): Promise<DrawOutcome> {
  const { page, box, windowDrawnMm } = source;
  const found = pageWithSpace(artwork, page, box);
  if (!found.ok) return { ok: false, trouble: found.problem.message };
  const { space, geometry } = found.value;
  // The renderers show the CropBox.
  const crop = space.rectFromBox(geometry.boxes.crop);
  const pixelsPerMm = scale / grid.mmPerPixel;
  return await drawing.picture(
    {
      renderer,
      path,
      ...(password !== undefined && { password }),
      isPanel: false,
      artworkBytes: reference.sizeBytes,
      page,
      placement: {
        scale: MM_PER_PT * pixelsPerMm,
        x0: (crop.x - windowDrawnMm.xMm) * pixelsPerMm + printedBox.xMm / grid.mmPerPixel - window.x,
        y0: (crop.y - windowDrawnMm.yMm) * pixelsPerMm + printedBox.yMm / grid.mmPerPixel - window.y,
      },
      size: window,
      userUnit: geometry.userUnit,
      longestPx: Math.ceil((Math.max(crop.width, crop.height) * scale) / grid.mmPerPixel),
    },
    signal,
  );
}

/** Draws the panel's page at its place on the vehicle; a mirrored one is turned over. */
export async function drawPanel(
  renderer: Renderer,
  { filmBox, enlargeBy, mirrored }: ManifestPanel,
  {
    path,
    userUnit,
    window,
  }: { readonly path: string; readonly userUnit: number; readonly window: PixelWindow },
  { drawing, grid, signal, artwork }: DrawingTools,
): Promise<DrawOutcome> {
  const filmLeft = filmBox.xMm / grid.mmPerPixel - window.x;
  const drawn = await drawing.picture(
    {
      renderer,
      path,
      isPanel: true,
      artworkBytes: artwork.reference.sizeBytes,
      page: 1,
      placement: {
        scale: (MM_PER_PT * enlargeBy) / grid.mmPerPixel,
        x0: mirrored ? window.width - filmLeft - filmBox.widthMm / grid.mmPerPixel : filmLeft,
        y0: filmBox.yMm / grid.mmPerPixel - window.y,
      },
      size: window,
      userUnit,
      longestPx: Math.ceil(Math.max(filmBox.widthMm, filmBox.heightMm) / grid.mmPerPixel),
    },
    signal,
  );
  return mirrored && drawn.ok ? { ...drawn, rgba: rgbaMirrored(drawn.rgba, window) } : drawn;
}

/** The picture as seen from the other side of the film. */
function rgbaMirrored(rgba: Uint8Array, { width, height }: PixelWindow): Uint8Array {
  const pixels = new Uint32Array(rgba.slice().buffer);
  for (let row = 0; row < height; row++) pixels.subarray(row * width, (row + 1) * width).reverse();
  return new Uint8Array(pixels.buffer);
}

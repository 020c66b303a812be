/** Compares two artwork files of a job; each is drawn in a process of its own where pictures must decide. */
import { artworksCompared } from '../../core/compare/job-comparison.ts';
import type { RendererName, SideInArtwork, SidePair } from '../../core/compare/side-comparison.ts';
import type { Job } from '../../core/job/schema.ts';
import { storedFromRect } from '../../core/job/stored-rect.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { ArtworkComparison } from '../../core/output/artwork-comparison.ts';
import type { PixelWindow, SideGrid } from '../../core/verify/side-grid.ts';
import type { VerificationPicture } from '../../core/verify/verification-picture.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import { decodeJpeg2000 } from '../cut/jpeg2000.ts';
import { pauseBetweenTurns } from '../files/called-off.ts';
import { tryFiles } from '../files/file-problem.ts';
import { unpackedInPassing } from '../files/unpacked.ts';
import { DrawProcess } from '../verify/draw-process.ts';
import { drawSource } from '../verify/window-drawing.ts';

export interface ComparisonRequest {
  readonly job: Job;
  readonly artworks: readonly [before: OpenedArtwork, after: OpenedArtwork];
}

export interface ComparisonHost {
  readonly signal: AbortSignal;
  report(progress: { readonly what: string; readonly done: number; readonly total: number }): void;
}

export async function compareArtworks(
  { job, artworks }: ComparisonRequest,
  { signal, report }: ComparisonHost,
): Promise<Result<ArtworkComparison>> {
  const processes = [new DrawProcess(), new DrawProcess()] as const;
  const pause = pauseBetweenTurns(signal);
  report({ what: 'Comparing the artworks', done: 0, total: 1 });
  const draw = async (
    renderer: RendererName,
    sides: SidePair['sides'],
    grid: SideGrid,
    window: PixelWindow,
  ) => {
    const [before, after] = await Promise.all(sides.map((side) => drawn(renderer, side, grid, window)));
    return before && after ? ([before, after] as const) : undefined;
  };
  const drawn = async (
    renderer: RendererName,
    { index, page, box, scale, place }: SideInArtwork,
    grid: SideGrid,
    window: PixelWindow,
  ): Promise<VerificationPicture | undefined> => {
    const rect = grid.rect(window);
    const source = { page, box, windowDrawnMm: storedFromRect(place.drawn(rect)) };
    const outcome = await drawSource(renderer, { source, scale, printedBox: storedFromRect(rect) }, window, {
      drawing: processes[index],
      artwork: artworks[index],
      grid,
      signal,
    });
    return outcome.ok ? { window, rgba: outcome.rgba } : undefined;
  };
  try {
    return await tryFiles(artworks[1].path, async () => {
      const comparison = await artworksCompared(
        { job, artworks },
        {
          samples: { codecs: { inflate: unpackedInPassing, decodeJpeg2000 }, areEqual, pause },
          pause,
          draw,
          onPanel: (label, done, total) => {
            report({ what: `Comparing ${label}`, done, total });
            signal.throwIfAborted();
          },
        },
      );
      return resultOk(ArtworkComparison.parse(comparison));
    });
  } finally {
    for (const process of processes) await process.close();
  }
}

const areEqual = (a: Uint8Array, b: Uint8Array): boolean => Buffer.compare(a, b) === 0;

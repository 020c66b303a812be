/** Cuts the panels of a job into the files of an output. */
import { setImmediate } from 'node:timers/promises';
import { cutPanels } from '../../core/cut/cut.ts';
import type { CutPanel, CutTools, PanelCut } from '../../core/cut/cut-request.ts';
import { itemAt } from '../../core/measure/present.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Artwork } from '../../core/pdf/document/artwork.ts';
import { type HashedSize, sha256Bytes } from '../files/sha256.ts';
import type { StagedFile, StagedFolder } from '../files/staged-folder.ts';
import { flateCodec, startFlateThreads } from './flate.ts';

/** An artwork of this size probably has pictures that keep the Flate threads busy. */
const LARGE_BYTES = 1 << 23;
/** Longest work between two checks for a cancel. */
const TURN_MS = 40;

export interface PanelFile extends CutPanel, HashedSize {
  readonly name: string;
}

export interface PanelToCut {
  readonly label: string;
  readonly cut: PanelCut;
  /** Path of its file in the output folder. */
  readonly name: string;
}

export interface CuttingTools {
  readonly signal: AbortSignal;
  /** Called with the number of artwork bytes read. */
  report(done: number, total: number): void;
}

/** The tools of this host that core needs to cut panels of one artwork. */
export function cutTools(artworkSha256: string, { signal, report }: CuttingTools): CutTools {
  let turnEndsMs = performance.now() + TURN_MS;
  const pause = async (): Promise<void> => {
    signal.throwIfAborted();
    if (performance.now() < turnEndsMs) return;
    // A cancel arrives as a message, which is received only between two turns of the event loop.
    await setImmediate();
    turnEndsMs = performance.now() + TURN_MS;
    signal.throwIfAborted();
  };
  return {
    sha256: sha256Bytes,
    artworkSha256,
    flate: flateCodec(),
    pause,
    async onBytes(done, total) {
      report(done, total);
      await pause();
    },
  };
}

/**
 * Writes each panel to its file in `staged`. Throws the errors of files and of the signal; the output must then be
 * abandoned.
 */
export async function cutPanelFiles(
  artwork: Artwork,
  artworkSha256: string,
  panels: readonly PanelToCut[],
  staged: StagedFolder,
  tools: CuttingTools,
): Promise<Result<PanelFile[], Problem>> {
  if (artwork.file.source.size > LARGE_BYTES) startFlateThreads();
  const files: StagedFile[] = [];
  try {
    for (const { name } of panels) files.push(await staged.beginFile(name));
    const cut = await cutPanels(
      artwork,
      panels.map((panel) => panel.cut),
      files,
      cutTools(artworkSha256, tools),
    );
    if (!cut.ok) {
      const label = cut.problem.cut === undefined ? undefined : itemAt(panels, cut.problem.cut).label;
      const message = label === undefined ? cut.problem.message : `Panel ${label}: ${cut.problem.message}`;
      return resultProblem({ ...cut.problem, message });
    }
    const hashed = await Promise.all(files.map((file) => file.finish()));
    return resultOk(panels.map(({ name }, i) => ({ name, ...itemAt(cut.value, i), ...itemAt(hashed, i) })));
  } finally {
    await Promise.all(files.map((file) => file.close()));
  }
}

/** The proof of one side: its panels, as many at once as there are threads, then the bands that neighbours share. */
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { ManifestPanel } from '../../core/output/manifest.ts';
import { bandCompared, bandFault, panelBands } from '../../core/verify/band-agreement.ts';
import { comparisonKept } from '../../core/verify/picture-comparison.ts';
import type { BandProof, ProofFault, SideProof } from '../../core/verify/proof-report.ts';
import { SideGrid } from '../../core/verify/side-grid.ts';
import { type SourceGroup, sourceGroups } from '../../core/verify/source-group.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import { type PanelProofTools, type ProvedPanel, panelProved, type SourceDrawn } from './panel-proof.ts';
import type { RenderThread } from './render-thread.ts';
import { sourceDrawn } from './window-drawing.ts';

export interface SideProofTools extends Omit<PanelProofTools, 'grid' | 'thread' | 'original'> {
  readonly artwork: OpenedArtwork;
  /** At least one. */
  readonly threads: readonly RenderThread[];
}

export interface ProvedSide {
  readonly side: Omit<SideProof, 'coveredShare'>;
  readonly faults: readonly ProofFault[];
  /** Panels whose files are there and hold them. */
  readonly present: readonly ManifestPanel[];
}

/** `begun` is told of each panel before it is proved. */
export async function sideProved(
  panels: readonly ManifestPanel[],
  tools: SideProofTools,
  begun: (label: string) => void,
): Promise<ProvedSide> {
  const grid = SideGrid.fitting(panels.map(({ printedMm }) => rectFromStored(printedMm)));
  const provedAtAll = new Map<ManifestPanel, ProvedPanel>();
  for (const group of sourceGroups(panels, grid)) {
    for (const [panel, proof] of await groupProved(group, grid, tools, begun)) provedAtAll.set(panel, proof);
  }
  // In the order of the manifest, whichever was done first.
  const proved = new Map(panels.map((panel) => [panel, provedAtAll.get(panel)!]));
  const bands: BandProof[] = [];
  const faults = [...proved.values()].flatMap((panel) => panel.faults);
  for (const band of panelBands(panels, grid)) {
    const [first, second] = band.panels.map((panel) => proved.get(panel)!.picture);
    if (!first || !second) continue;
    const compared = bandCompared(band, first, second, grid);
    bands.push({ panels: [band.panels[0].label, band.panels[1].label], picture: comparisonKept(compared) });
    const fault = bandFault(band, compared);
    if (fault) faults.push(fault);
  }
  return {
    side: {
      sideCode: panels[0]!.sideCode,
      ppi: Math.round(grid.ppi * 100) / 100,
      panels: [...proved.values()].map(({ proof }) => proof),
      bands,
    },
    faults,
    present: panels.filter((panel) => proved.get(panel)!.isPresent),
  };
}

/** Each thread takes the next panel when it has done one. */
async function groupProved(
  group: SourceGroup,
  grid: SideGrid,
  { artwork, threads, ...tools }: SideProofTools,
  begun: (label: string) => void,
): Promise<Map<ManifestPanel, ProvedPanel>> {
  const drawn = await sourceDrawn(group, artwork, { thread: threads[0]!, grid, signal: tools.signal });
  const original: SourceDrawn = drawn.ok
    ? { ok: true, picture: { window: group.window, rgba: drawn.rgba } }
    : drawn;
  const proved = new Map<ManifestPanel, ProvedPanel>();
  const waiting = [...group.panels];
  const lanes = threads.map(async (thread) => {
    for (let panel = waiting.shift(); panel; panel = waiting.shift()) {
      tools.signal.throwIfAborted();
      begun(panel.label);
      proved.set(panel, await panelProved(panel, { ...tools, grid, thread, original }));
    }
  });
  // All of them, so that no thread is still drawing when the proof is given up.
  const settled = await Promise.allSettled(lanes);
  const failed = settled.find(({ status }) => status === 'rejected');
  if (failed?.status === 'rejected') throw failed.reason;
  return proved;
}
